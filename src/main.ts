import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { movableClock } from './channels/practice/movable-clock.ts';
import { practiceKeys } from './channels/practice/practice-keys.ts';
import { practiceLine } from './channels/practice/practice-line.ts';
import { twilioLine } from './channels/twilio/twilio-line.ts';
import { readConfig } from './config.ts';
import { ConfigError, ContentError } from './errors.ts';
import { openCalendar } from './language/calendar.ts';
import { withRota } from './programme/load-rota.ts';
import { contentRoot, loadContent, loadDeskWords } from './programme/load-content.ts';
import { requireLanguages } from './programme/programme-languages.ts';
import { moveForward, runLine } from './running-line.ts';
import { lineIdOf, openSealer, readSealingKeys } from './store/sealing.ts';
import { openRedisStore } from './store/redis/redis-store.ts';
import { openSqliteStore } from './store/sqlite/sqlite-store.ts';
import { webApp } from './web/app.ts';
import { expressServer } from './web/express-server.ts';
import { openMetrics } from './web/metrics.ts';
import { serveMetrics } from './web/metrics-server.ts';
import { sharedLook } from './web/shared-look.ts';
import { stoppable } from './web/stop-server.ts';
import { waitingMetrics } from './web/waiting-metrics.ts';
import { refusalWatch, watchedService, watchLine } from './web/watch-line.ts';
import { deskRouter } from './web/desk/router.ts';
import { errorForLog } from './web/error-status.ts';
import { recordingRoutes } from './web/recordings.ts';

try {
  const settings = readConfig(process.env);
  const content = loadContent();
  const config = {
    ...settings,
    programme: withRota(settings.programme, settings.rotaFile, content.languages),
  };
  requireLanguages(config.programme, content.languages);
  const log = pino({ level: config.logLevel });
  const version = (JSON.parse(readFileSync(join(contentRoot, 'package.json'), 'utf8')) as { version: string })
    .version;
  const kind = config.redis === undefined ? 'sqlite' : 'redis';
  const metrics =
    config.metrics === undefined ? undefined : openMetrics({ role: config.role, store: kind, version });
  const onTrouble = (error: unknown) => log.error({ error: errorForLog(error) }, 'something failed');
  mkdirSync(config.dataDir, { recursive: true });
  const isPractice = config.carrier.kind === 'practice';
  const keys = isPractice ? practiceKeys(config.dataDir) : { sealingKeys: '', linePepper: '' };
  const pepper = config.linePepper ?? keys.linePepper;
  const sealer = openSealer(readSealingKeys(config.sealingKeys ?? keys.sealingKeys));
  const clock = isPractice
    ? movableClock(config.dataDir, Date.now)
    : { now: Date.now, moveTo: () => undefined };
  const { server, serve } = expressServer({ requestTimeout: 20_000, headersTimeout: 10_000 });
  server.listen(config.port, config.host);
  await new Promise((resolve, reject) => server.once('listening', resolve).once('error', reject)).catch(
    (error: unknown) => {
      throw new ConfigError([
        `HOST and PORT: cannot listen there: ${error instanceof Error ? error.message : 'no reason given'}. Set another PORT.`,
      ]);
    },
  );
  const address = server.address();
  const url = `http://${config.host}:${typeof address === 'object' ? address?.port : config.port}`;
  // Only after it listens: a second start on the same port ends above, and frees nothing that the first one holds.
  const store =
    config.redis === undefined
      ? openSqliteStore({ file: join(config.dataDir, 'eightfeeds.db'), sealer, alone: true })
      : await openRedisStore({ ...config.redis, sealer });
  const shared = {
    ...{ config, content, publicUrl: config.publicUrl ?? url, localUrl: url, clock, onTrouble },
    onRefused: refusalWatch(log, metrics),
  };
  const channel =
    config.carrier.kind === 'twilio' ? twilioLine(shared, config.carrier) : practiceLine(shared);
  const { programme } = config;
  const line = runLine({
    store,
    carrier: channel.carrier,
    clock,
    content,
    programme,
    lineOf: (phone) => lineIdOf(phone, pepper),
    ...(config.sendsPerSecond === undefined ? {} : { perSecond: config.sendsPerSecond }),
    onTrouble,
    watcher: watchLine(log, metrics),
    deskUrl: `${shared.publicUrl}/desk`,
  });
  const service = watchedService(line.service, log, metrics);
  const { webhooks, practice } = channel.routes(service, (ms) => moveForward(line, store, clock, ms));
  let isStopping = false;
  // Anybody may ask whether it is ready.
  const look = sharedLook(1_000, () => store.backlog(clock.now()));
  const health = async () => ({ ready: !isStopping, parts: { ...(await look()) } });
  const app = webApp({
    carrierWebhooks: webhooks,
    recordings: recordingRoutes(join(contentRoot, 'locales')),
    ...(practice === undefined ? {} : { practice }),
    desk: deskRouter({
      ...{ store, clock, content, programme, line: line.service },
      words: loadDeskWords(),
      calendar: openCalendar(programme.timeZone),
      lineOf: (name) => lineIdOf(name, pepper),
      publicUrl: config.publicUrl ?? url,
      wallNow: Date.now,
      wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    }),
    health,
    log,
  });
  serve(app);
  const metricsServer =
    metrics === undefined || config.metrics === undefined
      ? undefined
      : await serveMetrics({
          ...config.metrics,
          registry: metrics.registry,
          refresh: waitingMetrics(metrics.registry, store, clock),
        });
  if (config.role !== 'web') line.start();
  process.stdout.write(`Eightfeeds is at ${url}\n`);
  if (metricsServer !== undefined) process.stdout.write(`Metrics are at ${metricsServer.url}\n`);
  const stopServer = stoppable(server, 10_000);
  const stop = async () => {
    isStopping = true;
    // A carrier that does not answer must not hold the process for ever: what is in hand is taken over by its lease.
    setTimeout(() => process.exit(1), 25_000).unref();
    await stopServer();
    await line.stop();
    metricsServer?.close();
    await store.close();
  };
  for (const signal of ['SIGINT', 'SIGTERM'] as const)
    process.once(signal, () => void stop().then(() => process.exit(0)));
} catch (error) {
  const isOurs = error instanceof ConfigError || error instanceof ContentError;
  process.stderr.write(
    `Eightfeeds cannot start:\n${isOurs ? error.problems.map((p) => `  ${p}`).join('\n') : String(error)}\n`,
  );
  process.exit(1); // Something may be listening or connected already.
}
