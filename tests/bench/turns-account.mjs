/** An invented account, and numbers from Ofcom's range for fiction. */
export const account = { accountSid: `AC${'3c'.repeat(16)}`, authToken: 'a-token-for-measuring-0123456789' };
export const publicUrl = 'https://line.example.test';
export const textPath = '/carrier/text';
export const lineNumber = '+447700900008';
export const pepper = 'a-pepper-for-measuring-0123456789';

/** Numbers beyond the thousand of the range are made longer: they are never dialled, and no number is that long. */
export function motherNumber(index) {
  return `+447700900${String(100 + (index % 800))}${index < 800 ? '' : String(Math.floor(index / 800)).padStart(3, '0')}`;
}
