import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import type { Store } from '../../src/store/store.ts';
import { openMetrics } from '../../src/web/metrics.ts';
import { waitingMetrics } from '../../src/web/waiting-metrics.ts';

/** By "Alerting rules" of the Prometheus documentation. */
const rules = z
  .object({
    groups: z.array(
      z.object({
        name: z.string(),
        rules: z.array(
          z.strictObject({
            alert: z.string().regex(/^[A-Z][A-Za-z]+$/),
            expr: z.string(),
            for: z
              .string()
              .regex(/^\d+[smhd]$/)
              .optional(),
            labels: z.strictObject({ severity: z.enum(['page', 'day']) }),
            annotations: z.strictObject({ summary: z.string(), do: z.string() }),
          }),
        ),
      }),
    ),
  })
  .parse(parse(readFileSync('deploy/prometheus-rules.yaml', 'utf8')))
  .groups.flatMap((group) => group.rules);

const place = z.object({ x: z.number(), y: z.number(), w: z.number(), h: z.number() });
const { panels } = z
  .looseObject({
    panels: z.array(
      z.looseObject({
        id: z.number(),
        type: z.enum(['row', 'stat', 'timeseries']),
        title: z.string(),
        gridPos: place,
        targets: z.array(z.looseObject({ expr: z.string() })).default([]),
      }),
    ),
  })
  .parse(JSON.parse(readFileSync('deploy/grafana-dashboard.json', 'utf8')));

const asked = [
  ...rules.map(({ alert, expr }) => [alert, expr] as const),
  ...panels.flatMap(({ title, targets }) => targets.map(({ expr }) => [title, expr] as const)),
];

/** The metrics of the running line, as `/metrics` has them: name to label names. */
async function toldMetrics(): Promise<ReadonlyMap<string, ReadonlySet<string>>> {
  const { registry } = openMetrics({ role: 'all', store: 'sqlite', version: '0.0.0' });
  waitingMetrics(registry, {} as Store, { now: () => 0 });
  const text = await registry.metrics();
  const told = new Map<string, ReadonlySet<string>>();
  for (const [, name = '', type] of text.matchAll(/^# TYPE (\S+) (\S+)$/gm)) {
    const { labelNames = [] } = registry.getSingleMetric(name) as unknown as {
      labelNames?: readonly string[];
    };
    if (type !== 'histogram') told.set(name, new Set(labelNames));
    else {
      told.set(`${name}_bucket`, new Set([...labelNames, 'le']));
      for (const part of ['_sum', '_count']) told.set(name + part, new Set(labelNames));
    }
  }
  return told;
}

/** Labels that the scraper adds. */
const scraped = ['instance', 'job'];

/** Names of metrics in an expression of PromQL: words that no parenthesis follows, outside of braces, brackets and label lists. */
function metricsIn(expr: string): readonly { readonly name: string; readonly labels: readonly string[] }[] {
  const bare = expr.replace(/\b(by|without)\s*\([^)]*\)/g, '').replace(/\[[^\]]*\]/g, '');
  return [...bare.matchAll(/\b([a-z_]\w*)\b(?!\s*\()(?:\{([^}]*)\})?/g)].flatMap(
    ([, name = '', inside = '']) =>
      ['or', 'and', 'unless'].includes(name) || /"[^"]*$/.test(name)
        ? []
        : [{ name, labels: [...inside.matchAll(/(\w+)\s*(?:=~|!~|!=|=)/g)].map((match) => match[1] ?? '') }],
  );
}

test('the reader of expressions finds what stands in them', () => {
  expect(metricsIn('max by (tier) (rate(a_total{x="y", z=~"p|q"}[5m])) > 4 * 3600 or time() - b')).toEqual([
    { name: 'a_total', labels: ['x', 'z'] },
    { name: 'b', labels: [] },
  ]);
});

test.each(asked)('%s: every metric and label in it is one that the line tells', async (_, expr) => {
  const told = await toldMetrics();
  const used = metricsIn(expr);
  expect(used.length).toBeGreaterThan(0);
  for (const { name, labels } of used) {
    if (name === 'up') continue; // The scraper's own.
    expect([...told.keys()], name).toContain(name);
    for (const label of labels)
      expect([...(told.get(name) ?? []), ...scraped], `${name} ${label}`).toContain(label);
  }
  const grouped = [...expr.matchAll(/\bby\s*\(([^)]*)\)/g)].flatMap(([, list = '']) => list.split(/,\s*/));
  const known = new Set([...scraped, ...used.flatMap(({ name }) => [...(told.get(name) ?? [])])]);
  for (const label of grouped) expect([...known], label).toContain(label);
  const depth = [...expr].reduce((open, c) => open + (c === '(' ? 1 : c === ')' ? -1 : 0), 0);
  expect(depth).toBe(0);
});

test('a programme is woken for a waiting outbox, an alert that nobody has, failed sends and a missing worker', () => {
  const pages = rules
    .filter((rule) => rule.labels.severity === 'page')
    .map((rule) => rule.expr)
    .join('\n');
  for (const metric of [
    'eightfeeds_outbox_oldest_seconds',
    'eightfeeds_alert_oldest_unacknowledged_seconds{tier="A"}',
    'eightfeeds_sends_total{outcome="gave-up"',
    'absent(eightfeeds_worker_last_look_timestamp_seconds{at="due"})',
    'eightfeeds_store_up',
  ])
    expect(pages).toContain(metric);
  expect(new Set(rules.map((rule) => rule.alert)).size).toBe(rules.length);
});

test('no panel of the dashboard lies on another, and each asks for something', () => {
  expect(new Set(panels.map((panel) => panel.id)).size).toBe(panels.length);
  for (const [index, { gridPos: a, title, type, targets }] of panels.entries()) {
    expect(a.x + a.w, title).toBeLessThanOrEqual(24);
    expect(targets.length > 0, title).toBe(type !== 'row');
    for (const { gridPos: b, title: other } of panels.slice(index + 1)) {
      const apart = a.x + a.w <= b.x || b.x + b.w <= a.x || a.y + a.h <= b.y || b.y + b.h <= a.y;
      expect(apart, `${title} and ${other}`).toBe(true);
    }
  }
});
