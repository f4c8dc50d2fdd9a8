import { randomBytes } from 'node:crypto';

/** What the practice network signs with, in the shape of a carrier account's. */
export interface PracticeAccount {
  readonly accountSid: string;
  readonly authToken: string;
}

/** An account for one run of the process: nobody outside can sign for it. */
export function newPracticeAccount(): PracticeAccount {
  return {
    accountSid: `AC${randomBytes(16).toString('hex')}`,
    authToken: randomBytes(24).toString('base64url'),
  };
}
