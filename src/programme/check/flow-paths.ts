import type { Flow } from '../../dialog/flow.ts';
import { type Finding, problem } from './finding.ts';

/** Every step of every flow is reachable from its first, and every step has a way to the end. */
export function checkFlowPaths(flows: readonly Flow[]): readonly Finding[] {
  return flows.flatMap((flow): readonly Finding[] => {
    const ways = new Map(flow.steps.map((s) => [s.id, nextOf(s.next)]));
    const first = flow.steps[0]?.id ?? '';
    const reached = walk(first, (id) => ways.get(id) ?? []);
    const back = new Map<string, string[]>();
    for (const [from, to] of ways) for (const id of to) back.set(id, [...(back.get(id) ?? []), from]);
    const ends = [...ways].filter(([, to]) => to.length === 0).map(([id]) => id);
    const ending = new Set(ends.flatMap((id) => [...walk(id, (at) => back.get(at) ?? [])]));
    const menus = flow.steps.flatMap((s) =>
      (s.ask ?? [])
        .filter((f) => (f.kind === 'choice' || f.kind === 'choices') && f.options === undefined)
        .map((f) => `${s.id}.${f.field}`),
    );
    return [
      ...flow.steps
        .filter((s) => !reached.has(s.id))
        .map((s) => problem(`flow "${flow.flow}": no way leads to step "${s.id}"; add one or delete it`)),
      ...flow.steps
        .filter((s) => !ending.has(s.id))
        .map((s) => problem(`flow "${flow.flow}": step "${s.id}" never comes to an end; give it a way on`)),
      ...menus.map((m) =>
        problem(`flow "${flow.flow}": ${m} is a choice without "options"; say how many (2 to 9)`),
      ),
    ];
  });
}

function nextOf(next: Flow['steps'][number]['next']): readonly string[] {
  if (next === undefined) return [];
  return typeof next === 'string' ? [next] : next.map((n) => n.to);
}

function walk(from: string, ways: (id: string) => readonly string[]): ReadonlySet<string> {
  const seen = new Set<string>();
  const waiting = [from];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (seen.has(id)) continue;
    seen.add(id);
    waiting.push(...ways(id));
  }
  return seen;
}
