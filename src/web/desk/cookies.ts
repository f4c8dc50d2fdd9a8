import type { CookieOptions, Request, Response } from 'express';

/** The desk's cookies. Over https their names bind them to this very host. */
export interface Cookies {
  read(request: Request, name: CookieName): string | undefined;
  /** For as long as the browser is open, or for so many seconds. */
  set(response: Response, name: CookieName, value: string, seconds?: number): void;
  clear(response: Response, name: CookieName): void;
}

/** `session`: who is signed in. `asking`: a browser that is about to sign in. `language`: how the desk is read. */
export type CookieName = 'session' | 'asking' | 'language';

export function openCookies(secure: boolean): Cookies {
  const full = (name: CookieName) => `${secure ? '__Host-' : ''}eightfeeds-${name}`;
  const options: CookieOptions = { httpOnly: true, sameSite: 'strict', secure, path: '/' };
  return {
    read(request, name) {
      const start = `${full(name)}=`;
      const found = (request.headers.cookie ?? '')
        .split(';')
        .map((part) => part.trim())
        .filter((part) => part.startsWith(start));
      // Two of one name: somebody planted one. Neither is believed.
      const value = found.length === 1 ? found[0]?.slice(start.length) : undefined;
      return value !== undefined && /^[\w.-]{1,120}$/.test(value) ? value : undefined;
    },
    set: (response, name, value, seconds) =>
      void response.cookie(full(name), value, {
        ...options,
        ...(seconds === undefined ? {} : { maxAge: seconds * 1000 }),
      }),
    clear: (response, name) => void response.clearCookie(full(name), options),
  };
}
