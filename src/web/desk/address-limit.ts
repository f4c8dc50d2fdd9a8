/** How often an address did something lately. Kept by this process alone: a restart forgets it. */
export interface AddressLimit {
  /** Counts one, and says how many there were from there in the window, this one included. */
  count(address: string, now: number): number;
}

const windowMs = 15 * 60_000;
const mostAddresses = 10_000;
/** Above any limit that is asked about. */
const mostCounted = 200;

/** Counts in windows of 15 minutes. Addresses of one IPv6 network (/64) are one. */
export function addressLimit(): AddressLimit {
  const times = new Map<string, number[]>();
  return {
    count(address, now) {
      const place = address.includes(':') && !address.includes('.') ? network(address) : address;
      const recent = (times.get(place) ?? []).filter((at) => at > now - windowMs).slice(-mostCounted);
      recent.push(now);
      times.delete(place);
      times.set(place, recent);
      // The address that was quiet for longest is forgotten first.
      const oldest = times.size > mostAddresses ? times.keys().next().value : undefined;
      if (oldest !== undefined) times.delete(oldest);
      return recent.length;
    },
  };
}

function network(address: string): string {
  const [head = '', tail] = address.split('%')[0]?.split('::') ?? [];
  const left = head.split(':').filter((part) => part !== '');
  const right = tail === undefined ? [] : tail.split(':').filter((part) => part !== '');
  const zeros = Array.from({ length: Math.max(0, 8 - left.length - right.length) }, () => '0');
  return [...left, ...(tail === undefined ? [] : zeros), ...right].slice(0, 4).join(':');
}
