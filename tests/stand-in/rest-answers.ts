/** A request as the stand-in got it. */
export interface RestRequest {
  readonly method: string;
  readonly path: string;
  readonly authorization: string;
  /** Form fields in order; a repeated one stands twice. */
  readonly form: readonly (readonly [string, string])[];
}

export interface RestAnswer {
  readonly status: number;
  readonly type: string;
  readonly body: string;
  readonly headers?: Readonly<Record<string, string>>;
}

/** The value of a form field, the first where it stands twice. */
export function field(request: RestRequest, name: string): string | undefined {
  return request.form.find(([key]) => key === name)?.[1];
}

/** A refusal in the carrier's documented form. */
export function refusal(status: number, code: number, message: string): RestAnswer {
  const more_info = `https://errors.example.test/${code}`;
  return json(status, { code, message, more_info, status });
}

/** "Too many requests", with the seconds for which it asks to be left alone. Code 20429 as documented. */
export function tooMany(retryAfterSeconds: number): RestAnswer {
  return {
    ...refusal(429, 20429, 'Too Many Requests'),
    headers: { 'retry-after': String(retryAfterSeconds) },
  };
}

/** A page from something in between: no answer of the carrier's own. */
export const badGateway: RestAnswer = {
  status: 502,
  type: 'text/html',
  body: '<html><h1>502 Bad Gateway</h1></html>',
};

/**
 * Why a request is refused as the carrier does by itself, or undefined. Codes: 20003 and 20404 from memory; 21604 and 21602 (To,
 * Body missing) from memory; 21617 (over 1600) documented.
 */
export function refusedFor(request: RestRequest): RestAnswer | undefined {
  const kind = kindOf(request);
  if (kind === undefined) return refusal(404, 20404, 'The requested resource was not found');
  if (!request.authorization.startsWith('Basic ')) return refusal(401, 20003, 'Authenticate');
  if (request.method !== 'POST') return refusal(405, 20004, 'Method not allowed');
  if ((field(request, 'To') ?? '') === '') return refusal(400, 21604, "A 'To' phone number is required.");
  const body = field(request, 'Body') ?? '';
  if (kind === 'message' && body === '') return refusal(400, 21602, 'Message body is required.');
  if (body.length > 1600)
    return refusal(400, 21617, 'The concatenated message body exceeds 1600 characters.');
  return undefined;
}

export function kindOf({ path }: RestRequest): 'message' | 'call' | undefined {
  const found = /^\/2010-04-01\/Accounts\/AC[0-9a-f]{32}\/(Messages|Calls)\.json$/i.exec(path)?.[1];
  return found === 'Messages' ? 'message' : found === 'Calls' ? 'call' : undefined;
}

/** What was made of a request, in the documented shape: 201, RFC 2822 dates, status `queued`, or `accepted` by a service. */
export function made(request: RestRequest, sid: string, at: Date): RestAnswer {
  const account_sid = request.path.split('/')[3] ?? '';
  const date = at.toUTCString();
  const shared = {
    sid,
    account_sid,
    to: field(request, 'To'),
    from: field(request, 'From') ?? null,
    api_version: '2010-04-01',
    direction: 'outbound-api',
    date_created: date,
    date_updated: date,
    price: null,
    price_unit: 'USD',
    uri: `/2010-04-01/Accounts/${account_sid}/${kindOf(request) === 'call' ? 'Calls' : 'Messages'}/${sid}.json`,
  };
  if (kindOf(request) === 'call')
    return json(201, {
      ...shared,
      status: 'queued',
      answered_by: null,
      duration: null,
      start_time: null,
      end_time: null,
    });
  const service = field(request, 'MessagingServiceSid');
  return json(201, {
    ...shared,
    body: field(request, 'Body'),
    messaging_service_sid: service ?? null,
    status: service === undefined ? 'queued' : 'accepted',
    // Not known yet when a service sends it.
    num_segments: service === undefined ? '1' : '0',
    num_media: '0',
    date_sent: null,
    error_code: null,
    error_message: null,
  });
}

function json(status: number, body: object): RestAnswer {
  return { status, type: 'application/json', body: JSON.stringify(body) };
}
