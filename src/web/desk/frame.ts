import type { Counsellor } from '../../dialog/world.ts';
import { type Html, html, type Piece } from './html.ts';
import { deskLanguages, type Speech } from './speech.ts';

/** Who a page is for. */
export interface Reader {
  readonly counsellor: Counsellor;
  readonly speech: Speech;
  /** Goes into each form of this page, and proves that it came from us. */
  readonly proof: string;
}

export interface FramePaths {
  readonly style: string;
  readonly script: string;
  readonly icon: string;
}

export type Place = 'today' | 'alerts' | 'coming' | 'rota' | 'audit' | 'elsewhere';

const places = [
  ['today', '/desk'],
  ['alerts', '/desk/alerts'],
  ['coming', '/desk/coming'],
  ['rota', '/desk/rota'],
] as const;

/** A page of the desk for somebody who is signed in. */
export function framed(
  reader: Reader,
  paths: FramePaths,
  place: Place,
  title: string,
  content: Piece,
): string {
  const { speech, counsellor, proof } = reader;
  const { say } = speech;
  const links = [...places, ...(counsellor.lead ? [['audit', '/desk/audit'] as const] : [])];
  const head = html`
    <header class="top">
      <nav aria-label="${say('desk')}">${links.map(
        ([name, path]) =>
          html`<a href="${path}"${name === place && html` aria-current="page"`}>${say(`place.${name}`)}</a>`,
      )}</nav>
      <form class="find" method="post" action="/desk/find" role="search">${formToken(proof)}
        <input name="what" aria-label="${say('find.label')}" placeholder="${say('find.hint')}" autocomplete="off" required maxlength="30">
        <button>${say('find.button')}</button></form>
      <form class="who" method="post" action="/desk/sign-out">${formToken(proof)}
        <span>${counsellor.name}</span><button class="plain">${say('sign-out')}</button></form>
    </header>`;
  return document(speech, paths, title, [head, html`<main id="main">${content}</main>`], proof, true);
}

/** A page for somebody who is not signed in. */
export function bare(
  speech: Speech,
  paths: FramePaths,
  title: string,
  content: Piece,
  proof: string,
): string {
  return document(speech, paths, title, html`<main id="main" class="narrow">${content}</main>`, proof, false);
}

function document(
  { say, language }: Speech,
  paths: FramePaths,
  title: string,
  body: Piece,
  proof: string,
  live: boolean,
): string {
  const others = deskLanguages.filter((other) => other !== language);
  return `<!doctype html>\n${
    html`<html lang="${language}"><head><meta charset="utf-8">
      <meta name="viewport" content="width=device-width, initial-scale=1">
      <title>${title} · ${say('desk')}</title>
      <link rel="stylesheet" href="${paths.style}"><link rel="icon" href="${paths.icon}">
      ${live && html`<script src="${paths.script}" defer></script>`}</head>
      <body><a class="skip" href="#main">${say('skip')}</a>${body}
      <footer><span>${say('not-a-device')}</span>
        <form method="post" action="/desk/language">${formToken(proof)}${others.map(
          (other) =>
            html`<button class="plain" name="language" value="${other}" lang="${other}">${say(`language.${other}`)}</button>`,
        )}</form></footer></body></html>`.text
  }`;
}

/** The hidden field that proves that a form came from one of our pages. */
export function formToken(proof: string): Html {
  return html`<input type="hidden" name="proof" value="${proof}">`;
}
