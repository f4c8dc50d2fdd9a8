/** Keypad spellings of "anonymous", "blocked", "restricted", "unavailable" and "unknown", sent for withheld numbers. */
const withheld = new Set(['+266696687', '+2562533', '+7378742833', '+86282452253', '+8656696']);

/**
 * The number of who writes or calls, or undefined when it is withheld, a name, a short code, or not E.164
 * (ITU-T E.164: at most 15 digits, the first not 0).
 */
export function callerNumber(from: string): string | undefined {
  return /^\+[1-9]\d{6,14}$/.test(from) && !withheld.has(from) ? from : undefined;
}
