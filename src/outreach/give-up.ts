import { type CarrierFault, carrierFaults } from '../channels/carrier.ts';

/** Why a message was given up, as it is kept with it: the fault and the carrier's number, if there was one. */
export function giveUpWords(fault: CarrierFault, carrierCode: number | undefined): string {
  return carrierCode === undefined ? fault : `${fault} ${carrierCode}`;
}

/** What the line is told of a message that was given up. */
export interface GivenUp {
  readonly status: 'not-sent';
  readonly fault: CarrierFault | null;
  readonly errorCode: number | null;
  /** The carrier's answer was lost: it was not tried again, so as not to come twice. */
  readonly mayHaveBeenSent?: true;
}

/** The way back from what is kept. Words of no fault, as after time-outs alone, give none. */
export function readGiveUp(why: string | null): GivenUp {
  const status = 'not-sent';
  if (why === 'may have been sent') return { status, fault: null, errorCode: null, mayHaveBeenSent: true };
  if (why?.startsWith('too late') === true) return { status, fault: 'too-late', errorCode: null };
  const [word, code] = (why ?? '').split(' ');
  const fault = carrierFaults.find((f) => f === word) ?? null;
  return { status, fault, errorCode: fault !== null && code !== undefined ? Number(code) : null };
}
