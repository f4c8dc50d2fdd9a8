import type { RestAnswer, RestRequest } from './rest-answers.ts';

/** The account that the stand-in plays, for whoever asks about it. */
export interface PlayedAccount {
  readonly number: string;
  /** Where its texts and calls are sent. */
  readonly publicUrl: string;
}

/** What the account and its number are, in the documented shapes; undefined for any other request. */
export function aboutAccount(request: RestRequest, account: PlayedAccount): RestAnswer | undefined {
  const [, sid, rest] =
    /^\/2010-04-01\/Accounts\/(AC[0-9a-f]{32})(\/IncomingPhoneNumbers)?\.json/i.exec(request.path) ?? [];
  if (sid === undefined || request.method !== 'GET') return undefined;
  const { number, publicUrl } = account;
  const body =
    rest === undefined
      ? { sid, status: 'active', type: 'Full', friendly_name: 'stand-in' }
      : {
          incoming_phone_numbers: [
            {
              sid: `PN${'0'.repeat(32)}`,
              account_sid: sid,
              phone_number: number,
              capabilities: { sms: true, voice: true, mms: false, fax: false },
              sms_url: `${publicUrl}/carrier/text`,
              sms_fallback_url: `${publicUrl}/carrier/fallback-text`,
              voice_url: `${publicUrl}/carrier/call`,
              voice_fallback_url: `${publicUrl}/carrier/fallback-call`,
            },
          ].filter(
            (n) =>
              (new URLSearchParams(request.path.split('?')[1]).get('PhoneNumber') ?? number) ===
              n.phone_number,
          ),
          page: 0,
          page_size: 50,
          next_page_uri: null,
        };
  return { status: 200, type: 'application/json', body: JSON.stringify(body) };
}
