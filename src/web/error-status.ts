/** What an error means to who asked over HTTP: a status, and words that give nothing away. */
export interface ErrorAnswer {
  readonly status: number;
  readonly words: string;
}

/**
 * The one place where an error becomes an HTTP status. 503 for what is worth asking again: the carrier then speaks its
 * fallback or tries again, and nothing is taken for kept that was not. 4xx only for what express says of a bad request.
 */
export function errorAnswer(error: unknown): ErrorAnswer {
  switch (field(error, 'code')) {
    case 'store-unavailable':
    case 'stale-state':
    case 'alert-code-taken':
      return { status: 503, words: 'The line cannot be used just now. Please try again.' };
    default: {
      const status = field(error, 'status');
      return typeof status === 'number' && status >= 400 && status < 500
        ? { status, words: 'The request cannot be read.' }
        : { status: 500, words: 'Something went wrong.' };
    }
  }
}

/**
 * What may be logged of an error: its class, our code, and where it was thrown. Its message only when it is one of ours:
 * another's may hold what a mother wrote.
 */
export function errorForLog(error: unknown): Readonly<Record<string, string>> {
  if (!(error instanceof Error)) return { name: typeof error };
  const code = field(error, 'code');
  const ours = typeof code === 'string' && /^[a-z]+(-[a-z]+)*$/.test(code);
  const frames = (error.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line));
  return {
    name: error.name,
    ...(typeof code === 'string' ? { code } : {}),
    ...(ours ? { message: error.message } : {}),
    at: frames.slice(0, 8).join('\n'),
  };
}

function field(error: unknown, name: 'code' | 'status'): unknown {
  return typeof error === 'object' && error !== null
    ? (error as Partial<Record<typeof name, unknown>>)[name]
    : undefined;
}
