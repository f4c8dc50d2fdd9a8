import { bare, type FramePaths, formToken } from './frame.ts';
import { html } from './html.ts';
import { codeMinutes } from './sign-in-rules.ts';
import type { Speech } from './speech.ts';

/** What is told above a sign-in form. */
export type SignInNotice = 'signed-out' | 'wrong-code' | 'too-often' | 'form-old';

/** Asks for her number. */
export function numberPage(speech: Speech, paths: FramePaths, proof: string, notice?: SignInNotice): string {
  const { say } = speech;
  return bare(
    speech,
    paths,
    say('sign-in.title'),
    html`<h1>${say('sign-in.title')}</h1>${told(speech, notice)}
      <form method="post" action="/desk/sign-in" class="card">${formToken(proof)}
        <div class="field"><label for="number">${say('sign-in.number')}</label>
        <input id="number" name="number" type="tel" inputmode="tel" autocomplete="tel" required maxlength="24"></div>
        <button class="main">${say('sign-in.send')}</button>
        <p class="soft">${say('sign-in.only-listed')}</p></form>`,
    proof,
  );
}

/** Asks for the code that was sent, if it was: the page is the same for every number. */
export function codePage(
  speech: Speech,
  paths: FramePaths,
  proof: string,
  number: string,
  notice?: SignInNotice,
): string {
  const { say } = speech;
  return bare(
    speech,
    paths,
    say('sign-in.title'),
    html`<h1>${say('sign-in.title')}</h1>${told(speech, notice)}
      <form method="post" action="/desk/sign-in/code" class="card">${formToken(proof)}
        <input type="hidden" name="number" value="${number}">
        <p>${say('sign-in.sent', { count: codeMinutes })}</p>
        <div class="field"><label for="code">${say('sign-in.code')}</label>
        <input id="code" name="code" inputmode="numeric" autocomplete="one-time-code" required maxlength="12"></div>
        <button class="main">${say('sign-in.enter')}</button></form>
      <form method="post" action="/desk/sign-in">${formToken(proof)}
        <input type="hidden" name="number" value="${number}">
        <button class="plain">${say('sign-in.again')}</button>
        <a href="/desk/sign-in">${say('sign-in.other-number')}</a></form>`,
    proof,
  );
}

function told({ say }: Speech, notice: SignInNotice | undefined) {
  if (notice === undefined) return undefined;
  const bad = notice === 'signed-out' ? '' : ' bad';
  return html`<p class="note${bad}" role="alert">${say(`sign-in.${notice}`)}</p>`;
}
