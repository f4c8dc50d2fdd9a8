import { afterEach, beforeEach, expect, test } from 'vitest';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork } from './desk-at-work.ts';
import type { Visitor } from './visitor.ts';

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
  await ashaInDanger(desk);
});
afterEach(() => desk.close());

/** Opens the stream that the page names, as its script does; gives what came so far, and waits for words in it. */
async function listen(who: Visitor) {
  const path = (/data-live="([^"]*)"/.exec(who.page)?.[1] ?? '').replaceAll('&amp;', '&');
  const cookie = [...who.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  const response = await fetch(desk.base + path, { headers: { cookie, 'accept-encoding': 'gzip' } });
  expect(response.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
  expect(response.headers.get('content-encoding')).toBe('gzip');
  const reader = (response.body ?? new ReadableStream()).getReader();
  let heard = '';
  const hear = async (words: string) => {
    while (!heard.includes(words)) {
      const { done, value } = await reader.read();
      if (done) throw new Error(`The stream ended after: ${heard}`);
      heard += new TextDecoder().decode(value);
    }
    return heard;
  };
  return { hear, close: () => reader.cancel() };
}

test('the list that the page came with is not sent again; a change is', async () => {
  const who = await desk.signedIn(anita);
  const stream = await listen(who);
  expect(await stream.hear(': alive')).not.toContain('event:');
  await desk.text('+447700900107', 'my baby does not feed and is cold');
  const heard = await stream.hear('event: list');
  expect(await stream.hear('does not feed and is cold')).toContain(heard);
  await stream.close();
});

test('a mother’s page hears of her news and not of another’s', async () => {
  const who = await desk.signedIn(anita);
  await who.get(`/desk/mother/${desk.lineOf(asha)}/0`);
  const stream = await listen(who);
  await stream.hear(': alive');
  await desk.text('+447700900107', 'my baby does not feed and is cold');
  await desk.text(asha, 'he is still hot');
  expect((await stream.hear('event: news')).match(/event:/g)).toHaveLength(1);
  await stream.close();
});

test('a stream of who signs out, or whose session ends, says so at the next news and ends', async () => {
  const who = await desk.signedIn(anita);
  const stream = await listen(who);
  await stream.hear(': alive');
  await who.send('/desk/sign-out', {});
  await desk.text('+447700900107', 'my baby does not feed and is cold');
  const heard = await stream.hear('event: signed-out');
  expect(heard).not.toContain('does not feed');
  await expect(stream.hear('anything more')).rejects.toThrow('The stream ended');
});
