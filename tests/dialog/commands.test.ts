import { describe, expect, it } from 'vitest';
import {
  asked,
  type Conversation,
  conversation,
  day,
  enrolled,
  hour,
  joined,
  place,
  said,
} from './conversation.ts';

/** How she comes to each state; what is told there must not depend on how. */
const states: Readonly<Record<string, () => Conversation>> = {
  'quiet after enrolling': () => enrolled(),
  'asked for the birth day': () => joined(),
  'asked about her home': () => after(joined(), '26 Feb Asha'),
  'asked about the baby': () => after(joined(), '26 Feb Asha', '1 1 10'),
  'asked for the counts': () => asked(),
  'asked for the counts again': () => after(asked(), 'hmm'),
  'asked for a part of the counts': () => after(asked(), 'feeds 9 wet 6'),
  'asked how it feels': () => after(asked(), '9 3 6 4'),
  'asked for the weight': () => after(asked(), '9 3 6 4', '1 1 0'),
  'asked whether the danger is so': () => after(asked(), 'baby is yellow'),
  'asked whether she reached care': () => waited(after(enrolled(), 'my baby has a fit'), 2 * hour),
  'asked which language': () => after(enrolled(), 'LANGUAGE'),
  'asked for her name before another mother': () => after(enrolled({ born: '26 Feb' }), 'ANOTHER'),
};

function after(talk: Conversation, ...texts: readonly string[]): Conversation {
  for (const body of texts) talk.text(body);
  return talk;
}
function waited(talk: Conversation, ms: number): Conversation {
  talk.wait(ms);
  return talk;
}

describe.each(Object.entries(states))('%s', (_, come) => {
  it('STOP ends everything that would be sent, and says how to begin again', () => {
    const talk = come();
    const open = talk.openAlerts().length;
    const reply = talk.text('STOP');
    expect(reply).toContain('START');
    expect(talk.state.standing).toBe('stopped');
    expect(place(talk.state)).toBe('quiet');
    expect(talk.openAlerts()).toHaveLength(open);
    expect(talk.wait(20 * day)).toEqual([]);
  });

  it('HELP says what can be sent and leaves her where she is', () => {
    const talk = come();
    const before = place(talk.state);
    expect(talk.text('help')).toBe(said('help', { programme: 'Eightfeeds', emergency: '112' }));
    expect(place(talk.state)).toBe(before);
  });

  it('REPEAT says the last words again and leaves her where she is', () => {
    const talk = come();
    const before = place(talk.state);
    const first = talk.text('REPEAT');
    expect(first).not.toBe('');
    expect(talk.text('repeat')).toBe(first);
    expect(place(talk.state)).toBe(before);
  });

  it('BACK answers something, whatever there is to go back to', () => {
    const talk = come();
    for (let i = 0; i < 4; i++) expect(talk.text('BACK')).not.toBe('');
  });

  it('PERSON brings a person today and leaves her where she is', () => {
    const talk = come();
    const before = place(talk.state);
    expect(talk.text('PERSON')).toContain('112');
    expect(talk.openAlerts().some((a) => a.reasons.includes('asked-for-person') && a.tier !== 'C')).toBe(
      true,
    );
    expect(place(talk.state)).toBe(before);
  });

  it('LANGUAGE asks which, and the answer brings her back', () => {
    const talk = come();
    const before = place(talk.state);
    const menu = talk.text('LANGUAGE');
    expect(place(talk.state)).toBe('language/language');
    const english = /(\d+)\s+English\b/.exec(menu)?.[1] ?? '1';
    expect(talk.text(english)).toContain(said('language.now'));
    // An aside on top of an aside takes its place; a talk is come back to.
    if (!isAside(before)) expect(place(talk.state)).toBe(before);
  });

  it('a danger is answered at once', () => {
    const talk = come();
    const reply = talk.text('my baby has a fit');
    expect(reply).toContain('112');
    expect(
      talk.openAlerts().some((a) => a.tier === 'A' && a.signs.some((s) => s.code === 'convulsion')),
    ).toBe(true);
  });
});

function isAside(at: string): boolean {
  return /^(language|who|danger-check|follow-up|another-mother|keys-menu|signs-menu)\//.test(at);
}

describe('an unknown number', () => {
  it.each(['HELP', 'REPEAT', 'BACK', 'LANGUAGE', 'START', 'hello', '9 3 6 4'])(
    '%s is answered with the invitation',
    (word) => {
      const talk = conversation();
      expect(talk.text(word)).toContain('JOIN');
      expect(talk.state.standing).toBe('guest');
    },
  );

  it('STOP is obeyed though there is nothing to stop', () => {
    const talk = conversation();
    expect(talk.text('STOP')).toBe(said('stop.unknown'));
    expect(talk.wait(30 * day)).toEqual([]);
  });
});

describe('after STOP', () => {
  it('START takes her back with her mothers and asks at her hour', () => {
    const talk = after(enrolled(), 'STOP', 'START');
    expect(talk.state.standing).toBe('enrolled');
    expect(talk.state.mothers).toHaveLength(1);
    expect(talk.wait(day).join()).toContain('Tara');
  });

  it('other texts tell how to begin again, and a danger is still answered and raised', () => {
    const talk = after(enrolled(), 'STOP');
    expect(talk.text('9 3 6 4')).toBe(said('stop.how-to-start'));
    const reply = talk.text('my baby has a fit');
    expect(reply).toContain('112');
    expect(talk.alert().tier).toBe('A');
    expect(talk.sent.some((m) => m.purpose === 'alert')).toBe(true);
    expect(talk.state.standing).toBe('stopped');
  });
});
