import { expect, it } from 'vitest';
import { withBabiesNamed } from '../../src/dialog/naming.ts';
import type { Mother } from '../../src/dialog/line.ts';
import { content } from './conversation.ts';

const mothers = [{ babies: [{ name: 'Tara' }, { name: 'मीरा' }] }] as unknown as readonly Mother[];

it.each([
  ['Tara is yellow', 'jaundice'],
  ['tara ko bukhar hai', 'fever'],
  ['मीरा को दौरा पड़ रहा है', 'convulsion'],
])('reads %j as told of the baby', (text, code) => {
  const { signs } = content.readDanger(withBabiesNamed(text, mothers));
  expect(signs.map((s) => `${s.who}.${s.code}`)).toContain(`baby.${code}`);
});

it('leaves words that only begin like the name', () => {
  expect(withBabiesNamed('Taramati came, Tara slept', mothers)).toBe('Taramati came, baby slept');
});
