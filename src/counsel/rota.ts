import type { Counsellor, Programme } from '../dialog/world.ts';

/**
 * Who is told of an alert after so many climbs: the first on duty (told twice), then the next, then the lead.
 * With one counsellor only, it stays with her.
 */
export function onDuty(programme: Programme, climbed: number): Counsellor | undefined {
  const ordered = [
    ...programme.counsellors.filter((c) => !c.lead),
    ...programme.counsellors.filter((c) => c.lead),
  ];
  const rung = climbed <= 1 ? 0 : climbed - 1;
  return ordered[Math.min(rung, ordered.length - 1)];
}

export function counsellorById(programme: Programme, id: string): Counsellor | undefined {
  return programme.counsellors.find((c) => c.id === id);
}
