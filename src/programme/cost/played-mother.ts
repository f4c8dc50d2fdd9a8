import { medianGrams } from '../../care/expected-weight.ts';
import { ageInDays } from '../../care/age.ts';
import { askedNow } from '../../dialog/asking.ts';
import type { Asking } from '../../dialog/dialog-steps.ts';
import type { LineEvent } from '../../dialog/event.ts';
import type { Field } from '../../dialog/flow.ts';
import type { LineId, LineState } from '../../dialog/line.ts';
import { outcomeOf } from '../../dialog/outcome.ts';
import { turn } from '../../dialog/turn.ts';
import type { Content, Programme } from '../../dialog/world.ts';
import type { Calendar } from '../../language/calendar.ts';
import type { Entry } from './usage.ts';

/** From Ofcom's numbers for fiction: nobody is written to. */
const phone = '+447700900123';
const dayMs = 86_400_000;
const minuteMs = 60_000;
/** More texts than any dialog asks for: a flow that never ends must not hold the command. */
const mostAnswers = 12;

/**
 * The journal of one invented mother whose feeding goes well and who answers everything by text, from joining on the day after
 * birth: real flows and real words, without a store. Her babies' weights follow the WHO median.
 * @param from epoch milliseconds of the day she joins; she joins at ten in the morning
 */
export function playedMother(
  parts: { readonly content: Content; readonly programme: Programme; readonly calendar: Calendar },
  { language, from, weeks }: { readonly language: string; readonly from: number; readonly weeks: number },
): readonly Entry[] {
  const { content, programme, calendar } = parts;
  const bornOn = calendar.plusDays(calendar.day(from), -1);
  let now = calendar.instant(calendar.day(from), 600);
  const until = now + weeks * 7 * dayMs;
  let state: LineState | undefined;
  let texts = 0;
  const entries: Entry[] = [];
  const take = (event: LineEvent) => {
    const world = { now, salt: 0, content, programme, calendar };
    const { commit } = outcomeOf(turn('played' as LineId, phone, state, event, world), event);
    state = JSON.parse(commit.state) as LineState;
    for (const { at, kind, body } of commit.journal) entries.push({ at, kind, body: JSON.parse(body) });
  };
  const text = (body: string) => {
    now += minuteMs;
    texts += 1;
    take({ kind: 'text', id: `text ${texts}`, phone, body });
  };
  const answerAll = () => {
    for (let i = 0; i < mostAnswers; i++) {
      const standing = content.dialogs.standing(state?.dialog ?? null);
      if (standing.kind !== 'asking') return;
      text(answerTo(standing, { content, language, bornOn, today: calendar.day(now) }));
    }
  };

  text('JOIN');
  // A number that sends the word is asked whether she agrees before anything is asked of her.
  if (state !== undefined && (state as LineState).dialog === null && (state as LineState).consent === null)
    text('1');
  answerAll();
  for (;;) {
    const next = Math.min(...(state?.dues ?? []).map((d) => d.at));
    if (!(next < until)) return entries;
    now = Math.max(now, next);
    take({ kind: 'due' });
    answerAll();
  }
}

interface Played {
  readonly content: Content;
  readonly language: string;
  readonly bornOn: string;
  readonly today: string;
}

/** All that is asked, in one text. */
function answerTo(standing: Asking, played: Played): string {
  return askedNow(standing, 'text')
    .map((field) => answer(field, played))
    .join(' ');
}

/** Answers of a feeding that goes well. Feeds, gap, nappies: common practice for a thriving baby; see the rules in `care`. */
const well: Readonly<Record<string, string>> = {
  feeds: '9',
  gap: '3',
  wet: '7',
  stools: '4',
  meals: '3',
  water: '10',
  name: 'Asha',
  babyName: 'Tara',
  worry: '0',
  avoided: '0',
};

function answer(field: Field, { content, language, bornOn, today }: Played): string {
  const known = well[field.field];
  if (known !== undefined) return known;
  switch (field.kind) {
    case 'language':
      return String(content.languages.indexOf(language) + 1);
    case 'date':
      return `${Number(bornOn.slice(8))}-${Number(bornOn.slice(5, 7))}-${bornOn.slice(0, 4)}`;
    case 'weight': {
      const day = Math.max(0, ageInDays(bornOn, today));
      return (medianGrams({}, day < 4 ? 0 : day) / 1000).toFixed(1);
    }
    case 'time-of-day':
      return '10';
    case 'choices':
      return '13';
    case 'words':
      return '0';
    case 'kitchen':
    case 'menu':
      return field.optional === true || field.several === true ? '0' : '1';
    case 'count':
    case 'hours':
      return String(Math.max(field.min ?? 0, 2));
    case 'choice':
    case 'yes-no':
    case 'mother':
    case 'go-on':
      return '1';
    default:
      return field.kind satisfies never;
  }
}
