import type { IncomingMessage } from 'node:http';
import { type ParsedUrlQuery, parse } from 'node:querystring';

/** Most bytes of a carrier's form. A text of 1600 letters in Hindi, percent-encoded, is under 15 KB. */
const maxFormBytes = 64 * 1024;

/** Most fields of a carrier's form; the carrier sends about 25, and ten more for each picture. */
const maxFields = 200;

/** The fields of a form (a repeated field is an array; there is no prototype), or the HTTP status that refuses it. */
export type FormBody =
  | { readonly kind: 'form'; readonly fields: Readonly<ParsedUrlQuery> }
  | { readonly kind: 'refused'; readonly status: 400 | 413 | 415 };

/**
 * Read a form body of at most `maxFormBytes`, uncompressed and in UTF-8.
 * What is over the limit is read and thrown away, so that the sender gets to see the refusal. A body that breaks off
 * half-way cannot be read (400). Never rejects.
 */
export async function readFormBody(request: IncomingMessage): Promise<FormBody> {
  if (!isPlainForm(request)) {
    request.resume();
    return { kind: 'refused', status: 415 };
  }
  const body = await readAll(request);
  if (typeof body === 'number') return { kind: 'refused', status: body };
  if (fieldCount(body) > maxFields) return { kind: 'refused', status: 413 };
  if (/%(?![0-9a-f]{2})/i.test(body)) return { kind: 'refused', status: 400 };
  return { kind: 'form', fields: parse(body, '&', '=', { maxKeys: 0 }) };
}

function isPlainForm(request: IncomingMessage): boolean {
  const encoding = request.headers['content-encoding'];
  if (encoding !== undefined && encoding !== 'identity') return false;
  const [type = '', ...settings] = (request.headers['content-type'] ?? '').toLowerCase().split(';');
  if (type.trim() !== 'application/x-www-form-urlencoded') return false;
  const charset = settings.map((setting) => setting.trim()).find((setting) => setting.startsWith('charset='));
  return charset === undefined || /^charset="?utf-?8"?$/.test(charset);
}

function readAll(request: IncomingMessage): Promise<string | 400 | 413> {
  return new Promise((resolve) => {
    const chunks: Buffer[] = [];
    let bytes = 0;
    request.on('data', (chunk: Buffer) => {
      bytes += chunk.length;
      if (bytes <= maxFormBytes) chunks.push(chunk);
      else chunks.length = 0;
    });
    request.on('end', () => resolve(bytes > maxFormBytes ? 413 : Buffer.concat(chunks).toString('utf8')));
    request.on('error', () => resolve(400));
  });
}

function fieldCount(body: string): number {
  let count = 1;
  for (let at = body.indexOf('&'); at !== -1; at = body.indexOf('&', at + 1)) count += 1;
  return count;
}
