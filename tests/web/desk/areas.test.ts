import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Counsellor } from '../../../src/dialog/world.ts';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork, enrol, mary } from './desk-at-work.ts';
import type { Visitor } from './visitor.ts';

/** Numbers from Ofcom's range for fiction. */
const sunita = '+447700900013';
const leela = '+447700900014';
const grace = '+447700900104';
const newcomer = '+447700900150';

const counsellor = (id: string, name: string, phone: string, more: Partial<Counsellor> = {}): Counsellor => ({
  ...{ id, name, phone, language: 'en', lead: false },
  ...more,
});
/** Anita sees the north, Sunita the south and the east; Mary leads and Leela is the clinical lead. */
const counsellors = [
  counsellor('anita', 'Anita', anita, { area: 'North' }),
  counsellor('sunita', 'Sunita', sunita, { area: ['South', 'East'] }),
  counsellor('mary', 'Mary', mary, { lead: true }),
  counsellor('leela', 'Leela', leela, { lead: true, clinical: true }),
];

let desk: DeskAtWork;
beforeEach(async () => {
  // Asha joins by herself: she lives in the programme's own area.
  desk = await deskAtWork({ programme: { counsellors, area: 'South' } });
  await ashaInDanger(desk);
});
afterEach(() => desk.close());

const ashas = () => `/desk/mother/${desk.lineOf(asha)}/0`;
const alertOf = async (phone: string) => (await desk.state(phone)).alerts.at(-1);
const codeOf = async (phone: string) => (await alertOf(phone))?.code ?? '';
const textsTo = (phone: string) => desk.sent.filter((m) => m.to === phone).map((m) => m.body);
const live = async (who: Visitor, path: string): Promise<number> => {
  const cookie = [...who.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  const answer = await fetch(desk.base + path, { headers: { cookie } });
  await answer.body?.cancel();
  return answer.status;
};

describe('a mother of another area', () => {
  test('is on no list, no search and no live update of hers, and on those of everybody else', async () => {
    const code = await codeOf(asha);
    for (const [phone, sees] of [
      [anita, false],
      [sunita, true],
      [mary, true],
      [leela, true],
    ] as const) {
      const who = await desk.signedIn(phone);
      for (const path of ['/desk', '/desk/alerts', '/desk/coming']) {
        await who.get(path);
        expect([phone, path, who.words.includes('Asha')]).toEqual([phone, path, sees]);
        // Who sees several areas is told which is hers.
        if (path === '/desk') expect([phone, who.words.includes('· South')]).toEqual([phone, sees]);
      }
      for (const what of [code, asha, '07700 900101']) {
        await who.get('/desk');
        await who.send('/desk/find', { what });
        expect([phone, what, who.path]).toEqual([phone, what, sees ? ashas() : '/desk/find']);
      }
      await who.get(ashas());
      expect([phone, who.status]).toEqual([phone, sees ? 200 : 404]);
      expect([phone, await live(who, `/desk/live/${desk.lineOf(asha)}?version=0`)]).toEqual([
        phone,
        sees ? 200 : 204,
      ]);
    }
  });

  test('cannot be told by any answer of the desk from one who does not exist', async () => {
    const who = await desk.signedIn(anita);
    const nobodys = `/desk/mother/${'A'.repeat(22)}/0`;
    const answers = async (path: string) => {
      await who.get('/desk');
      const { proof = '' } = who.hidden('/desk/find');
      const said: unknown[] = [];
      await who.get(path);
      said.push([who.status, who.words]);
      await who.get(`${path}?all=yes`);
      said.push([who.status, who.words]);
      for (const [form, more] of [
        ['take', {}],
        ['note', { note: 'hello' }],
        ['close', { outcome: 'other', note: '' }],
        ['open', {}],
        ['write', { words: 'hello' }],
        ['hand-over', { to: 'sunita' }],
      ] as const) {
        await who.post(`${path}/${form}`, { proof, code: await codeOf(asha), ...more });
        said.push([form, who.status, who.words]);
      }
      await who.post(`${path}/rhythm`, { proof, what: 'no-tips' });
      said.push(['rhythm', who.status, who.words]);
      await who.post(`${path}/place`, { proof, area: 'North' });
      said.push(['place', who.status, who.words]);
      said.push(await live(who, `/desk/live/${path.split('/')[3]}`));
      return said;
    };
    const before = await desk.store.load(desk.lineOf(asha));
    expect(await answers(ashas())).toEqual(await answers(nobodys));
    expect(await desk.store.load(desk.lineOf(asha))).toEqual(before);
  });

  test('cannot be told by any answer to a text from one who does not exist', async () => {
    const code = await codeOf(asha);
    const none = code === '1234' ? '4321' : '1234';
    const before = await desk.store.load(desk.lineOf(asha));
    for (const rest of [
      '',
      ' ?',
      ' 1 well',
      ' a note',
      ' say hello',
      ' open',
      ' give sunita',
      ' give nobody',
    ]) {
      const hers = await desk.text(anita, `${code}${rest}`);
      expect([rest, hers]).toEqual([rest, (await desk.text(anita, `${none}${rest}`)).replaceAll(none, code)]);
    }
    expect(await desk.text(anita, 'list')).toBe('Nothing is open.');
    expect(await desk.text(anita, `why ${code} ${none}`)).toBe(await desk.text(anita, `why ${none} ${none}`));
    expect(await desk.store.load(desk.lineOf(asha))).toEqual(before);
    // A slip away from a code that is not hers nothing is suggested; from one that is hers, it is.
    const slip = `${code.slice(0, 3)}${code.endsWith('9') ? '8' : '9'}`;
    expect(await desk.text(anita, slip)).toBe(`No open alert ${slip}. Send LIST to see what is open.`);
    expect(await desk.text(sunita, slip)).toContain(`Did you mean ${code}?`);
    expect(await desk.text(sunita, 'list')).toContain('Asha');
    expect(await desk.text(sunita, `${code} ?`)).toContain(asha);
  });

  test('cannot be told by trying to enrol her number', async () => {
    const ask = (phone: string) => desk.text(anita, `enrol ${phone} 5 Nov 2.9 en`);
    const unknown = await ask(newcomer);
    expect(unknown).toMatch(/asked, if not on the line already/);
    expect((await ask(asha)).replaceAll(asha, newcomer)).toBe(unknown);
    // Asked again there is still nothing to tell them apart by.
    expect((await ask(asha)).replaceAll(asha, newcomer)).toBe(await ask(newcomer));
    await desk.text(asha, 'STOP');
    expect((await ask(asha)).replaceAll(asha, newcomer)).toBe(unknown);
    await desk.line.catchUp();
    expect(textsTo(newcomer).filter((body) => body.includes('Anita'))).toHaveLength(1);
    expect(textsTo(asha).filter((body) => body.includes('Anita'))).toHaveLength(0);
    expect((await desk.state(asha)).area).toBeUndefined();
    expect(await desk.text(sunita, `enrol ${newcomer} 5 Nov 2.9 en`)).toBe(unknown);
    expect(await desk.text(mary, `enrol ${asha} 5 Nov 2.9 en`)).toMatch(/has stopped our texts/);
  });

  test('who asks for her is written down, for the lead to read', async () => {
    const who = await desk.signedIn(anita);
    await who.get(ashas());
    await who.get('/desk');
    await who.send('/desk/find', { what: asha });
    await desk.text(anita, await codeOf(asha));
    const lead = await desk.signedIn(mary);
    await lead.get('/desk/audit');
    const refused = lead.page.match(/asked for a mother of another area and was refused/g);
    expect(refused).toHaveLength(3);
    expect(lead.page).not.toMatch(/Asha|7700900101/);
    expect(lead.words).toContain('None was changed or taken out.');
  });

  test('many of hers are not crowded out of the list by many of others', async () => {
    const lead = await desk.signedIn(mary);
    for (let n = 0; n < 210; n++) await desk.text(`+447700900${300 + n}`, 'my baby has a fit');
    // The last to be raised of all.
    await desk.forward(1_000);
    await desk.text(grace, 'my baby has a fit');
    const who = await desk.signedIn(anita);
    expect(who.words).toContain('Nobody is waiting.');
    await lead.get(`/desk/mother/${desk.lineOf(grace)}/0`);
    await lead.send(`/desk/mother/${desk.lineOf(grace)}/0/place`, { area: 'North' });
    await who.get('/desk');
    expect(who.words).toContain(await codeOf(grace));
  });
});

describe('a counsellor of an area', () => {
  test('enrols a mother into her own area, who is hers and nobody else’s but the leads’', async () => {
    await desk.text(anita, `enrol ${newcomer} 5 Nov 2.9 en`);
    await desk.text(newcomer, 'JOIN');
    for (const answer of ['Rita', '1 1 10', '1 Tara', '0', '0']) await desk.text(newcomer, answer);
    await desk.text(newcomer, 'my baby has a fit');
    expect((await desk.state(newcomer)).area).toBe('North');
    await desk.line.catchUp();
    const code = await codeOf(newcomer);
    expect(textsTo(anita).some((body) => body.includes(code))).toBe(true);
    expect(textsTo(sunita).some((body) => body.includes(code))).toBe(false);
    expect(await desk.text(sunita, code)).toBe(`No open alert ${code}. Send LIST to see what is open.`);
    expect(await desk.text(anita, code)).toContain(newcomer);
  });

  test('hands over to who may see the mother; the lead hands over to anybody, who then sees her', async () => {
    const code = await codeOf(asha);
    const south = await desk.signedIn(sunita);
    await south.send(`${ashas()}/take`, {});
    expect(south.page).not.toContain('<option value="anita">');
    expect(south.page).toContain('<option value="mary">');
    await south.post(`${ashas()}/hand-over`, { ...south.hidden(`${ashas()}/hand-over`), to: 'anita' });
    expect(south.status).toBe(404);
    expect(await desk.text(sunita, `${code} give anita`)).toMatch(
      /^Nobody else is named anita\. There are: Mary, Leela/,
    );
    expect((await alertOf(asha))?.acknowledgedBy).toBe('sunita');

    const lead = await desk.signedIn(mary);
    await lead.get(ashas());
    expect(lead.words).toContain('Anita (North)');
    await lead.send(`${ashas()}/hand-over`, { to: 'anita' });
    await desk.line.catchUp();
    expect(textsTo(anita).at(-1)).toContain(code);
    const north = await desk.signedIn(anita);
    expect(north.words).toContain('Asha');
    await north.get(ashas());
    await north.send(`${ashas()}/take`, {});
    expect(north.words).toContain('You have her now.');
    expect(await desk.text(anita, `${code} say I am on my way.`)).toMatch(/^Sent to Asha/);
    // She sees what she did, mends it for a day, and then the mother is another area's again.
    await north.send(`${ashas()}/close`, { outcome: 'home-visit', note: '' });
    expect([north.status, north.words.includes('This alert is closed.')]).toEqual([200, true]);
    await desk.forward(25 * 3_600_000);
    const later = await desk.signedIn(anita);
    expect((await later.get(ashas())).status).toBe(404);
    expect(await desk.text(anita, `${code} open`)).toMatch(/^No open alert/);
  });

  test('is told of alerts of her areas only; with nobody of an area on duty the lead is told at once, and the mother honestly', async () => {
    await desk.line.catchUp();
    const code = await codeOf(asha);
    expect(textsTo(sunita).some((body) => body.includes(code))).toBe(true);
    await desk.text(sunita, 'off');
    const reply = await desk.text(grace, 'my baby has a fit');
    expect(reply).not.toContain('Anita');
    await desk.line.catchUp();
    const hers = await codeOf(grace);
    expect(textsTo(mary).some((body) => body.includes(hers))).toBe(true);
    await desk.forward(3 * 3_600_000);
    expect(textsTo(anita).some((body) => body.includes(hers) || body.includes(code))).toBe(false);
    expect((await alertOf(grace))?.stage).toBe('notified');
    expect((await alertOf(grace))?.climbed).toBeGreaterThan(3);
    expect(textsTo(leela).some((body) => body.includes(hers))).toBe(true);
  });
});

describe('the lead', () => {
  test('sets a mother’s area at the desk: what nobody has taken is told there at once', async () => {
    await desk.line.catchUp();
    const code = await codeOf(asha);
    expect(textsTo(anita).some((body) => body.includes(code))).toBe(false);
    const lead = await desk.signedIn(mary);
    await lead.get(ashas());
    expect(lead.words).toContain('Area: South');
    await lead.send(`${ashas()}/place`, { area: 'North' });
    expect(lead.words).toContain('Her area is set.');
    expect(lead.words).toContain('Area: North');
    await desk.line.catchUp();
    expect(textsTo(anita).some((body) => body.includes(code))).toBe(true);
    expect((await (await desk.signedIn(sunita)).get(ashas())).status).toBe(404);
    expect(await desk.text(anita, code)).toContain(asha);
    await lead.send(`${ashas()}/place`, { area: '' });
    expect(lead.words).toContain('Area: South');
  });

  test('alone does so, and only to an area that there is', async () => {
    const lead = await desk.signedIn(mary);
    await lead.get(ashas());
    const form = lead.hidden(`${ashas()}/place`);
    for (const area of ['West', 'north ', '<b>']) {
      await lead.post(`${ashas()}/place`, { ...form, area });
      expect([area, lead.status]).toEqual([area, 404]);
    }
    const south = await desk.signedIn(sunita);
    await south.get(ashas());
    expect(south.page).not.toContain('/place"');
    await south.post(`${ashas()}/place`, {
      proof: south.hidden(`${ashas()}/note`)['proof'] ?? '',
      area: 'East',
    });
    expect(south.status).toBe(404);
    expect((await desk.state(asha)).area).toBeUndefined();
  });
});

test('a mother whose area nobody knows is everybody’s: she must not be nobody’s', async () => {
  const open = await deskAtWork({ programme: { counsellors } });
  await ashaInDanger(open);
  for (const phone of [anita, sunita, mary]) {
    const who = await open.signedIn(phone);
    expect([phone, who.words.includes('Asha')]).toEqual([phone, true]);
  }
  await open.close();
});

test('the morning digest tells each of hers alone, and the lead of those whom nobody on duty may see', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  const lead = await desk.signedIn(mary);
  await lead.get(`/desk/mother/${desk.lineOf(grace)}/0`);
  await lead.send(`/desk/mother/${desk.lineOf(grace)}/0/place`, { area: 'North' });
  await desk.text(grace, 'baby has a fit');
  await desk.text(sunita, 'off');
  await desk.forward(24 * 3_600_000);
  const digests = (phone: string) => textsTo(phone).filter((body) => body.startsWith('Good morning'));
  expect(digests(anita)).toHaveLength(1);
  expect(digests(anita)[0]).toMatch(/1 mother to reach[\s\S]*Grace/);
  expect(digests(anita)[0]).not.toContain('Asha');
  // Off for twelve hours by her own word: on duty again by the morning.
  expect(digests(sunita)[0]).toMatch(/1 mother to reach[\s\S]*Asha/);
  expect(digests(mary)).toEqual([]);
});
