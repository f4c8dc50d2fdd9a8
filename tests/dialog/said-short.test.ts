import { describe, expect, it } from 'vitest';
import { asked, enrolled, place } from './conversation.ts';

describe('the name of a language as a whole text', () => {
  it.each([
    ['hindi', 'hi-Latn'],
    ['Hindi me', 'hi-Latn'],
    ['हिंदी', 'hi'],
    ['मराठी', 'mr'],
    ['MARATHI', 'mr'],
    ['English please', 'en'],
  ])('%s turns to it and leaves her where she is', (body, language) => {
    const talk = asked();
    const before = place(talk.state);
    talk.text(body);
    expect(talk.state.language).toBe(language);
    expect(place(talk.state)).toBe(before);
  });

  it('does so in quiet too, and does not begin a check-in', () => {
    const talk = enrolled();
    talk.text('marathi');
    expect(talk.state.language).toBe('mr');
    expect(place(talk.state)).toBe('quiet');
  });

  it('is no such thing inside a sentence', () => {
    const talk = asked();
    talk.text('my english is weak 9 3 6 4');
    expect(talk.state.language).toBe('en');
  });
});

describe('three bare figures to a question of four', () => {
  it('are kept, and only the fourth is asked for', () => {
    const talk = asked();
    const reply = talk.text('9 3 6');
    expect(reply).not.toContain('You mean');
    expect(talk.text('4')).not.toContain('You mean');
    const whole = asked();
    whole.text('9 3 6 4');
    expect(place(talk.state)).toBe(place(whole.state));
  });

  it('are doubted when one is out of its range', () => {
    const talk = asked();
    const before = place(talk.state);
    talk.text('900 3 6');
    expect(place(talk.state)).toBe(before);
  });
});

describe('a weight that is none beside where it was taken', () => {
  const weighing = () => {
    const talk = asked();
    talk.text('9 3 6 4');
    talk.text('1 1 0');
    return talk;
  };

  it('is asked for again, and taken when it is told', () => {
    const talk = weighing();
    const before = place(talk.state);
    expect(before).toContain('weigh');
    talk.text('30 1');
    expect(place(talk.state)).toBe(before);
    talk.text('3.1 kg');
    expect(place(talk.state)).not.toBe(before);
  });

  it('may still be left out', () => {
    const talk = weighing();
    const before = place(talk.state);
    talk.text('0');
    expect(place(talk.state)).not.toBe(before);
  });
});
