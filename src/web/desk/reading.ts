import type { Request } from 'express';
import type { Counsellor, Programme } from '../../dialog/world.ts';
import type { Accounts } from '../../counsel/accounts.ts';
import type { Cookies } from './cookies.ts';
import type { DeskParts } from './desk-parts.ts';
import type { Reader } from './frame.ts';
import { isFormToken, newFormToken, tokenHash } from './secrets.ts';
import { isSignedIn, seenNow } from './sign-in-rules.ts';
import { type DeskLanguage, deskLanguages, openSpeech, type Speech } from './speech.ts';

/** Somebody who is signed in. `sessionHash` names her session. */
export interface SignedIn extends Reader {
  readonly sessionHash: string;
  /** Key of the proofs in her forms. */
  readonly formKey: string;
}

export interface Reading {
  /** Who sends the request, when she is signed in. Marks her session as used, unless it is only looked at. */
  signedIn(request: Request, use?: 'mark' | 'look'): Promise<SignedIn | undefined>;
  /** The language of a page for `counsellor`, or for nobody yet. */
  speech(request: Request, counsellor?: Counsellor): Speech;
}

export function openReading(parts: DeskParts, accounts: Accounts, cookies: Cookies): Reading {
  const { programme, wallNow, clock } = parts;

  const languageFor = (request: Request, counsellor: Counsellor | undefined): DeskLanguage => {
    const asked = [
      cookies.read(request, 'language'),
      counsellor?.language,
      counsellor === undefined ? browserLanguage(request) : undefined,
      programme.language,
    ];
    return asked.map(deskLanguage).find((language) => language !== undefined) ?? 'en';
  };

  const speech = (request: Request, counsellor?: Counsellor) =>
    openSpeech(parts, languageFor(request, counsellor), clock.now());

  return {
    speech,
    async signedIn(request, use = 'mark') {
      const cookie = cookies.read(request, 'session') ?? '';
      const [id = '', token = ''] = cookie.split('.');
      const counsellor = counsellorOf(programme, id);
      if (counsellor === undefined || token === '') return undefined;
      const sessionHash = tokenHash(token);
      const record = await accounts.read(id);
      const now = wallNow();
      if (!isSignedIn(record, sessionHash, now)) return undefined;
      if (use === 'mark' && seenNow(record, sessionHash, now) !== undefined) {
        await accounts.change(id, (latest) => {
          const seen = seenNow(latest, sessionHash, now);
          return seen === undefined ? { answer: undefined } : { record: seen, answer: undefined };
        });
      }
      return {
        counsellor,
        sessionHash,
        formKey: token,
        proof: newFormToken(token),
        speech: speech(request, counsellor),
      };
    },
  };
}

/** Whether a form came from one of our pages, given to the holder of `key`. */
export function hasProof(request: Request, key: string): boolean {
  const body = request.body as { readonly proof?: unknown } | undefined;
  return typeof body?.proof === 'string' && isFormToken(body.proof, key);
}

function counsellorOf(programme: Programme, id: string): Counsellor | undefined {
  return programme.counsellors.find((c) => c.id === id);
}

function browserLanguage(request: Request): string | undefined {
  // What is asked for by name only: "anything" is no wish.
  const named = request.acceptsLanguages().filter((language) => language !== '*');
  return named.find((language) => deskLanguage(language) !== undefined);
}

function deskLanguage(name: string | undefined): DeskLanguage | undefined {
  const base = name?.split('-')[0];
  return deskLanguages.find((language) => language === base);
}
