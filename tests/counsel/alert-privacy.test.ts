import { afterEach, expect, it } from 'vitest';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork } from '../web/desk/desk-at-work.ts';

const hour = 3_600_000;
const open: DeskAtWork[] = [];
afterEach(async () => {
  for (const desk of open.splice(0)) await desk.close();
});

async function started(detail: 'full' | 'code' | undefined): Promise<DeskAtWork> {
  const env = detail === undefined ? {} : { ALERT_TEXT_DETAIL: detail };
  const desk = await deskAtWork({ env });
  open.push(desk);
  await ashaInDanger(desk);
  await desk.line.catchUp();
  return desk;
}
const unaskedTo = (desk: DeskAtWork, phone: string) =>
  desk.sent.filter((m) => m.to === phone).map((m) => m.body);
/** Who she is, her number, and anything of what she told. */
const telling = /Asha|Mina|7700900101|fever|hard to wake/;

it('tells all by default: who, what she said, and the number to call', async () => {
  for (const detail of [undefined, 'full'] as const) {
    const desk = await started(detail);
    const [text = ''] = unaskedTo(desk, anita);
    for (const part of ['Asha', 'fever', asha, 'NOW']) expect(text).toContain(part);
  }
});

it('tells only how urgent, the age and the code where texts are to hold little, and the rest on her answer', async () => {
  const desk = await started('code');
  const [text = ''] = unaskedTo(desk, anita);
  const code = (await desk.state(asha)).alerts[0]?.code ?? '';
  expect(text).toBe(`NOW ${code}, a mother, baby 2 days. Reply ${code} to have it and read the rest.`);
  const rest = await desk.text(anita, code);
  for (const part of ['Asha', 'fever', asha, `You have ${code}`]) expect(rest).toContain(part);
  expect((await desk.state(asha)).alerts[0]?.acknowledgedBy).toBe('anita');
});

it('holds little in every text that nobody asked for, for as long as the alert is open', async () => {
  const desk = await started('code');
  // Nobody answers: it climbs, the morning digest goes out, the follow-up is not answered.
  await desk.forward(80 * hour);
  const texts = ['+447700900011', '+447700900012'].flatMap((phone) => unaskedTo(desk, phone));
  expect(texts.some((body) => body.startsWith('Good morning'))).toBe(true);
  expect(texts.some((body) => body.includes('we do not know if she reached care'))).toBe(true);
  expect(texts.filter((body) => telling.test(body))).toEqual([]);
  const code = (await desk.state(asha)).alerts[0]?.code ?? '';
  await desk.text(asha, '1');
  await desk.line.catchUp();
  expect(unaskedTo(desk, '+447700900012').filter((body) => telling.test(body))).toEqual([]);
  expect(await desk.text(anita, `${code} ?`)).toContain(asha);
});
