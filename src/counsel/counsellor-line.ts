import type { Inbound, Reply } from '../channels/carrier.ts';
import type { LineEvent } from '../dialog/event.ts';
import type { LineId, LineState } from '../dialog/line.ts';
import type { Content, Counsellor, Programme, World } from '../dialog/world.ts';
import type { Calendar } from '../language/calendar.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from '../web/line-service.ts';
import { openAccounts } from './accounts.ts';
import { alertCall } from './alert-call.ts';
import { areaOf, maySee, worksIn } from './area.ts';
import { type CounsellorText, counsellorNamed, counsellorText } from './counsellor-text.ts';
import type { Told } from './told.ts';
import { type CounsellorWordName, counsellorWords } from './counsellor-words.ts';
import type { DutyBook } from './duty-book.ts';
import { dutyText } from './duty-text.ts';
import { meantByNote, meantByText, nearCode } from './meant-text.ts';
import { readEnrolText } from './enrol-text.ts';
import { readTodaysList } from './read-todays-list.ts';
import { openRoll } from './roll.ts';
import { listedWords, whyAboveWords } from './todays-list.ts';

export interface CounsellorLineParts {
  readonly store: Store;
  readonly content: Content;
  readonly programme: Programme;
  readonly calendar: Calendar;
  readonly clock: Clock;
  readonly lineOf: (phone: string) => LineId;
  readonly book: DutyBook;
  /** Runs an event on a line and gives its reply. */
  readonly run: (lineId: LineId, phone: string, event: LineEvent) => Promise<Reply>;
  readonly onOutbox: () => void;
}

/** So many fit a text of two segments. */
const shownInText = 4;

/** All that a counsellor can do from her own phone, by text and by keypad. */
export function counsellorLine(
  parts: CounsellorLineParts,
): (counsellor: Counsellor, inbound: Exclude<Inbound, { kind: 'receipt' }>) => Promise<Reply> {
  const { store, content, programme, calendar, clock, lineOf, run, book } = parts;
  const words = counsellorWords(content.wording, content.languages);
  const call = alertCall(parts);
  const roll = openRoll(store, lineOf);
  const accounts = openAccounts(store, lineOf, () => clock.now());

  const worldNow = async (): Promise<World> => {
    const now = clock.now();
    return { now, salt: 0, content, programme, calendar, away: await book.away(now) };
  };

  const fromList = async (
    text: Extract<CounsellorText, { kind: 'list' | 'why' }>,
    reader: Counsellor,
    told: Told,
  ): Promise<string> => {
    const { language } = reader;
    const world = await worldNow();
    const list = await readTodaysList(store, world, reader);
    if (text.kind === 'why')
      return whyAboveWords(list, text.one, text.other, world, language) ?? told('counsellor.commands');
    if (list.length === 0) return told('counsellor.none-open');
    const shown = list.slice(0, shownInText).map((l) => listedWords(l, world, language));
    const more = list.length - shown.length;
    return [...shown, ...(more === 0 ? [] : [told('counsellor.more', { count: more })])].join('\n');
  };

  const enrol = async (rest: string, by: Counsellor, id: string, told: Told): Promise<string> => {
    const read = readEnrolText(rest, by.phone, calendar.day(clock.now()), content);
    if (read.kind === 'unclear') {
      const names = content.languages.join(', ');
      const why = read.what === 'nothing' ? [] : [told(`counsellor.enrol-unclear.${read.what}`, { names })];
      return [...why, told('counsellor.enrol-how')].join('\n');
    }
    const { phone, bornOn, birthWeightGrams, language } = read;
    const isOurs = programme.counsellors.some((c) => c.phone === phone);
    if (isOurs) return [told('counsellor.enrol-unclear.phone'), told('counsellor.enrol-how')].join('\n');
    const reply = await run(lineOf(phone), phone, {
      kind: 'invite',
      id,
      phone,
      by: by.id,
      bornOn,
      birthWeightGrams,
      language,
    });
    return reply.kind === 'text' ? reply.body : '';
  };

  const fromText = async (counsellor: Counsellor, id: string, body: string): Promise<string> => {
    const { language } = counsellor;
    const told: Told = (key, values = {}) => content.wording.say(key, values, language, 'text');
    const text = counsellorText(body, words);
    switch (text.kind) {
      case 'unknown':
        return notUnderstood(body, told);
      case 'list':
      case 'why':
        return fromList(text, counsellor, told);
      case 'enrol':
        return enrol(text.rest, counsellor, id, told);
      case 'off':
      case 'on':
        return dutyText({ ...parts, world: await worldNow() }, text.kind, counsellor, id, told);
      case 'give':
      case 'command': {
        const code = text.kind === 'command' ? text.command.code : text.code;
        const entry = await store.alertByCode(code);
        const state = entry === undefined ? undefined : await hers(entry.lineId, counsellor);
        if (entry === undefined || state === undefined) return noAlert(code, counsellor, told);
        const command = text.kind === 'command' ? text.command : handOverTo(text, counsellor, state, told);
        if (typeof command === 'string') return command;
        if (command.kind === 'answers')
          await accounts.log(counsellor.id, { action: 'viewed', object: entry.lineId });
        const reply = await run(entry.lineId, '', { kind: 'counsellor', id, by: counsellor.id, command });
        const answer = reply.kind === 'text' ? reply.body : '';
        const word = command.kind === 'note' ? meantByNote(command.note, words) : undefined;
        if (word === undefined) return answer;
        return `${answer}\n${told('counsellor.meant-note', { code, word: shownWord(word, told) })}`;
      }
      default:
        return text satisfies never;
    }
  };

  /** There is no such alert, for her; of those on her list one may be a slip away. */
  const noAlert = async (code: string, counsellor: Counsellor, told: Told): Promise<string> => {
    const list = await readTodaysList(store, await worldNow(), counsellor);
    const near = nearCode(
      code,
      list.map(({ alert }) => alert.code),
    );
    const none = told('counsellor.no-alert', { code });
    return near === undefined ? none : `${none}\n${told('counsellor.meant-code', { code: near })}`;
  };

  /** One line with all that she can send; before it, what she perhaps meant. */
  const notUnderstood = (body: string, told: Told): string => {
    const meant = meantByText(body, words);
    const list = told('counsellor.commands');
    if (meant === undefined) return list;
    if (meant.kind === 'four-digits') return `${told('counsellor.four-digits')}\n${list}`;
    const key = meant.kind === 'word' ? 'meant' : 'code-first';
    return `${told(`counsellor.${key}`, { word: shownWord(meant.word, told) })}\n${list}`;
  };

  /** The line, when she may see it. Another area's mother is to her as if she did not exist, and that she asked is written down. */
  const hers = async (lineId: LineId, counsellor: Counsellor): Promise<LineState | undefined> => {
    const stored = await store.load(lineId);
    if (stored === undefined) return undefined;
    const state = JSON.parse(stored.state) as LineState;
    if (maySee(counsellor, state, { programme, now: clock.now() })) return state;
    await accounts.log(counsellor.id, { action: 'not-hers', object: lineId });
    return undefined;
  };

  /** A lead gives to anybody, others to who may see the mother. */
  const handOverTo = (
    { code, to }: Extract<CounsellorText, { kind: 'give' }>,
    by: Counsellor,
    state: LineState,
    told: Told,
  ) => {
    const area = areaOf(state, programme);
    const others = programme.counsellors.filter((c) => c.id !== by.id && (by.lead || worksIn(c, area)));
    const named = counsellorNamed(others, to);
    if (named !== undefined) return { kind: 'hand-over', code, to: named.id } as const;
    return told('counsellor.nobody-named', {
      name: to.slice(0, 30),
      names: others.map((c) => c.name).join(', '),
    });
  };

  return async (counsellor, inbound) => {
    await roll.remember(counsellor);
    return inbound.kind === 'text'
      ? { kind: 'text', body: await fromText(counsellor, inbound.id, inbound.body) }
      : call(counsellor, inbound);
  };
}

/** A word as the list of commands shows it: the first of her language, in capitals where there are any. */
function shownWord(name: CounsellorWordName, told: Told): string {
  return (told(`counsellor.word.${name}`).split(',')[0] ?? name).trim().toUpperCase();
}
