import { words } from './words.ts';

/** What the page is told once; everything that changes comes over the event stream. */
export interface PageSetup {
  readonly lineNumber: string;
  readonly timeZone: string;
  readonly mothers: readonly {
    readonly name: string;
    readonly number: string;
    readonly ageYears: number;
    /** YYYY-MM-DD. */
    readonly bornOn: string;
    readonly babies: readonly {
      readonly name: string;
      readonly sex: 'girl' | 'boy';
      readonly birthWeightGrams: number;
    }[];
    readonly story: string;
  }[];
  readonly counsellors: readonly { readonly name: string; readonly number: string }[];
}

/** The practice page. Script and style are files of their own, so that nothing inline needs to be allowed. */
export function practicePage(setup: PageSetup): string {
  const people = (list: readonly { readonly name: string; readonly number: string }[]) =>
    list.map(({ name, number }) => `<option value="${escaped(number)}">${escaped(name)}</option>`).join('');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(words.title)}</title>
<link rel="icon" href="/practice/icon.svg" type="image/svg+xml">
<link rel="stylesheet" href="/practice/page.css">
<script type="application/json" id="setup">${json({ ...setup, words })}</script>
<script type="module" src="/practice/page.js"></script>
</head>
<body>
<header>
<div class="title">
<h1>${escaped(words.heading)}</h1>
<p class="line">${escaped(words.lineNumber)}: <b>${escaped(setup.lineNumber)}</b></p>
<p class="caution">${escaped(words.caution)}</p>
</div>
<section class="clock" aria-label="${escaped(words.clock)}">
<p><span>${escaped(words.clock)}</span> <time id="now"></time></p>
<div role="group" aria-label="${escaped(words.later)}">
<span class="later" aria-hidden="true">${escaped(words.later)}</span>
<button type="button" data-forward="60">${escaped(words.hour)}</button>
<button type="button" data-forward="morning">${escaped(words.morning)}</button>
<button type="button" data-forward="1440">${escaped(words.day)}</button>
<button type="button" data-forward="10080">${escaped(words.week)}</button>
</div>
<label class="speak"><input type="checkbox" id="speak" checked> ${escaped(words.speak)}</label>
</section>
</header>
<p id="lost" role="alert" hidden>${escaped(words.lost)}</p>
<main>
${phone('mother', words.mother, words.firstText, `${people(setup.mothers)}<option value="new">${escaped(words.newPhone)}</option>`)}
${phone('counsellor', words.counsellor, words.counsellorEmpty, people(setup.counsellors))}
</main>
<noscript><p>This page needs JavaScript.</p></noscript>
</body>
</html>
`;
}

/** Page icon: eight drops around a ninth. */
export const icon = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="8" fill="#1d5c63"/>${Array.from(
  { length: 8 },
  (_, drop) => `<circle cx="16" cy="7" r="2.6" fill="#f6e7d2" transform="rotate(${drop * 45} 16 16)"/>`,
).join('')}<circle cx="16" cy="16" r="4" fill="#f2b880"/></svg>`;

function phone(id: 'mother' | 'counsellor', heading: string, empty: string, options: string): string {
  const key = (name: string, label: string) =>
    `<button type="button" data-key="${name}" aria-label="${escaped(words.key)} ${label}">${name}</button>`;
  const keys = ['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((digit) => key(digit, digit));
  return `<section class="phone" id="${id}" aria-labelledby="${id}-heading">
<h2 id="${id}-heading">${escaped(heading)}</h2>
<label class="who">${escaped(words.who)} <select>${options}</select></label>
<p class="elsewhere" role="status"></p>
<div class="about"></div>
<div class="handset">
<p class="number"></p>
<div class="screen" role="log" aria-label="${escaped(words.thread)}" tabindex="0"><ol class="thread" data-empty="${escaped(empty)}"></ol></div>
<section class="call" aria-label="${escaped(words.callPanel)}" hidden>
<p class="stage" role="status"></p>
<div class="said" role="log" aria-label="${escaped(words.said)}" tabindex="0"></div>
<p class="pressed"><span>${escaped(words.pressed)}</span> <output></output></p>
<div class="keypad" role="group" aria-label="${escaped(words.keypad)}">${keys.join('')}${key('*', words.star)}${key('0', '0')}${key('#', words.hash)}</div>
<div class="answering">
<button type="button" class="go" data-do="answer">${escaped(words.answer)}</button>
<button type="button" class="stop" data-do="hang-up">${escaped(words.hangUp)}</button>
<button type="button" data-do="close">${escaped(words.closeCall)}</button>
</div>
</section>
<form class="write">
<label for="${id}-text">${escaped(words.write)}</label>
<textarea id="${id}-text" rows="2" maxlength="1600" autocomplete="off"></textarea>
<div class="actions">
<button type="submit" class="go">${escaped(words.send)}</button>
<button type="button" data-do="call">${escaped(words.call)}</button>
</div>
</form>
</div>
</section>`;
}

function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');
}

/** JSON that cannot end the element it stands in. */
function json(value: unknown): string {
  return JSON.stringify(value).replace(/</g, '\\u003c');
}
