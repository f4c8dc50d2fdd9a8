import { asha, type DeskAtWork, enrol } from './desk-at-work.ts';

/** Numbers from Ofcom's range for fiction; everybody is invented. */
export const sunita = '+447700900103';
export const grace = '+447700900104';

const dayMs = 86_400_000;

/** A morning's answers, by what is asked. */
type Morning = readonly (readonly [question: RegExp, answer: string])[];

/** Several days of a line with work for a counsellor: dangers, slow gain, twins, somebody silent, somebody not enrolled. */
export async function exampleWeek(desk: DeskAtWork): Promise<void> {
  await enrol(desk, sunita, { born: '28-10-2026', name: 'Sunita', babies: ['2 2.9 Ravi'] });
  await enrol(desk, grace, {
    born: '12-10-2026',
    name: 'Grace',
    home: '2 3 9',
    babies: ['1 2.2 Joy', '2 2.45 Noel'],
  });
  await enrol(desk, '+447700900105', { born: '20-07-2026', name: 'Rukmini', babies: ['1 3.3 Tara'] });
  await enrol(desk, '+447700900102', { born: '16-11-2026', name: 'Zainab', babies: ['2 3.1 Omar'] });
  const sunitaWeighs = ['3.25 1', '3.3 1', '3.32 2', '3.34 1'];
  for (let day = 0; day < 9; day += 1) {
    await desk.forward(dayMs);
    await answer(desk, sunita, [
      [/feeds, longest gap|send 4 numbers/, day < 5 ? '8 3 6 4' : '6 5 4 2'],
      [/Weight of|weight in kg/, sunitaWeighs[Math.floor(day / 3)] ?? '0'],
      [/Pain while feeding|Send 2 numbers. Pain/, day < 5 ? '1 1 0' : '2 3 0'],
    ]);
    await answer(desk, grace, [
      [/About Joy|Joy:/, '9 3 7 4'],
      [/About Noel|Noel:/, '8 3 6 3'],
      [/Weight of Joy/, '3.4 1'],
      [/Weight of Noel/, '3.7 1'],
      [/Pain while feeding/, '1 1 0'],
    ]);
    await answer(desk, '+447700900102', [
      [/feeds, longest gap/, '9 3 7 5'],
      [/Weight of/, '3.2 1'],
      [/Pain while feeding/, '2 1 0'],
    ]);
  }
  await enrol(desk, asha, { born: '2-12-2026', name: 'Asha', babies: ['1 2.7 Mina'] });
  await desk.forward(40 * 60_000);
  await desk.text(grace, 'one breast is hot, red and very painful and i have fever');
  await desk.forward(12 * 60_000);
  await desk.text('+447700900106', 'baby is not waking up and does not feed');
  await desk.text(asha, 'baby has fever and is hard to wake');
  await desk.forward(3 * 60_000);
}

/** Answers what is asked until nothing that was foreseen is asked any more. */
async function answer(desk: DeskAtWork, phone: string, morning: Morning): Promise<void> {
  let said = desk.sent.findLast((message) => message.to === phone)?.body ?? '';
  for (let asked = 0; asked < 12; asked += 1) {
    const fitting = morning.find(([question]) => question.test(said));
    const known = fitting?.[1] ?? otherwise.find(([question]) => question.test(said))?.[1];
    if (known === undefined) return;
    said = await desk.text(phone, known);
  }
}

const otherwise: Morning = [
  [/Weight of|weight in kg/, '0'],
  [/little interest/, '1 1'],
  [/help you at home|help at home/, '1 1'],
  [/Is this happening|mean/, '1'],
  [/did you eat|send all their numbers/i, '1 2 4'],
  [/reach care/, '1'],
  [/Pain/, '1 1 0'],
];
