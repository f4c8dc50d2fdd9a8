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
 * Read a form body of at most `maxFormBytes`, uncompressed and in UTF-8, and tell `done` once what it was.
 * What is over the limit is read and thrown away, so that the sender gets to see the refusal. A body that breaks off
 * half-way cannot be read (400). Never throws; told by a call and not a promise, since every text passes here.
 */
export function readFormBody(request: IncomingMessage, done: (body: FormBody) => void): void {
  const declared = request.headers['content-length'];
  if (declared !== undefined && Number(declared) > maxFormBytes) return refuse(request, 413, done);
  if (!isPlainForm(request)) return refuse(request, 415, done);
  const chunks: Buffer[] = [];
  let bytes = 0;
  request.on('data', (chunk: Buffer) => {
    bytes += chunk.length;
    if (bytes <= maxFormBytes) chunks.push(chunk);
    else chunks.length = 0;
  });
  let isDone = false;
  const once = (body: FormBody) => {
    if (!isDone) done(body);
    isDone = true;
  };
  request.on('end', () => {
    if (bytes > maxFormBytes) once({ kind: 'refused', status: 413 });
    else once(formOf(chunks.length === 1 ? chunks[0] : Buffer.concat(chunks)));
  });
  request.on('error', () => once({ kind: 'refused', status: 400 }));
}

function refuse(request: IncomingMessage, status: 413 | 415, done: (body: FormBody) => void): void {
  request.resume();
  done({ kind: 'refused', status });
}

function formOf(bytes: Buffer | undefined): FormBody {
  const body = bytes?.toString('utf8') ?? '';
  if (fieldCount(body) > maxFields) return { kind: 'refused', status: 413 };
  if (/%(?![0-9a-f]{2})/i.test(body)) return { kind: 'refused', status: 400 };
  return { kind: 'form', fields: parse(body, '&', '=', { maxKeys: 0 }) };
}

function isPlainForm(request: IncomingMessage): boolean {
  const encoding = request.headers['content-encoding'];
  if (encoding !== undefined && encoding !== 'identity') return false;
  const written = request.headers['content-type'];
  if (written === formType) return true;
  const [type = '', ...settings] = (written ?? '').toLowerCase().split(';');
  if (type.trim() !== formType) return false;
  const charset = settings.map((setting) => setting.trim()).find((setting) => setting.startsWith('charset='));
  return charset === undefined || /^charset="?utf-?8"?$/.test(charset);
}

const formType = 'application/x-www-form-urlencoded';

function fieldCount(body: string): number {
  let count = 1;
  for (let at = body.indexOf('&'); at !== -1; at = body.indexOf('&', at + 1)) count += 1;
  return count;
}
