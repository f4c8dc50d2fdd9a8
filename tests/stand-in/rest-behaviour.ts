import { badGateway, refusal, tooMany, type RestAnswer } from './rest-answers.ts';

/** How the stand-in behaves for one request. */
export type Behaviour =
  | { readonly kind: 'accept' }
  | { readonly kind: 'accept-slowly'; readonly afterMs: number }
  | {
      readonly kind: 'answer';
      readonly status: number;
      readonly body: string;
      readonly type?: string;
      readonly headers?: Readonly<Record<string, string>>;
    }
  | { readonly kind: 'hang' }
  | { readonly kind: 'reset' }
  /** Takes it, and then the connection breaks before the answer. */
  | { readonly kind: 'accept-and-reset' }
  /** Takes it and never answers. */
  | { readonly kind: 'accept-and-hang' };

/** How often each trouble comes, 0 to 1 each, together at most 1. */
export interface Chances {
  /** No answer in time; every second one was taken all the same. */
  readonly timeOut?: number;
  /** HTTP 500 in the carrier's form (not taken), or a page with 502 (every second one of those was taken). */
  readonly serverError?: number;
  /** HTTP 429 with `Retry-After`. */
  readonly tooMany?: number;
  /** The connection breaks; every second one was taken. */
  readonly reset?: number;
}

/** Draws a behaviour for each request. @param random 0 to below 1, seeded */
export function drawn(chances: Chances, random: () => number, retryAfterSeconds = 1): () => DrawnBehaviour {
  return () => {
    const draw = random();
    const half = random() < 0.5;
    let up = chances.timeOut ?? 0;
    if (draw < up) return half ? { kind: 'accept-and-hang' } : { kind: 'hang' };
    up += chances.serverError ?? 0;
    if (draw < up) {
      if (half) return answer(refusal(500, 20500, 'Internal Server Error'));
      return { ...answer(badGateway), taken: random() < 0.5 };
    }
    up += chances.tooMany ?? 0;
    if (draw < up) return answer(tooMany(retryAfterSeconds));
    up += chances.reset ?? 0;
    if (draw < up) return half ? { kind: 'accept-and-reset' } : { kind: 'reset' };
    return { kind: 'accept' };
  };
}

/** `taken`: what was asked is carried out although the answer does not say so. */
export type DrawnBehaviour = Behaviour & { readonly taken?: boolean };

function answer(of: RestAnswer): Extract<Behaviour, { kind: 'answer' }> {
  return { kind: 'answer', ...of };
}
