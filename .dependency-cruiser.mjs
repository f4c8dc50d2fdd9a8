/** Which room may import what. Each rule says why; `tools/rooms.mjs` runs them. */

const pure = '^src/(dialog|care|language)/';
/** Shapes that a room may name without leaning on what stands behind them. */
const ports = '^src/(store/store|channels/carrier|web/line-service)\\.ts$';
const deciding = '^src/(dialog|care|language|counsel|outreach)/';

export default {
  forbidden: [
    {
      name: 'pure-rooms-do-no-io',
      comment:
        'A turn must be the same when it is run again: no file, network, server, carrier, database or log inside it.',
      severity: 'error',
      from: { path: deciding },
      to: {
        path: '^((node:)?(fs|fs/promises|net|http|http2|https|dgram|dns|tls|child_process|worker_threads|cluster))$|(^|/)node_modules/(@types/)?(express|twilio|redis|@redis|better-sqlite3|pino)/',
      },
    },
    {
      name: 'deciding-rooms-know-ports-only',
      comment:
        'The turn, alerts and the outbox decide; what they need of the world comes through a port handed in.',
      severity: 'error',
      from: { path: deciding },
      to: { path: '^src/', pathNot: [deciding, '^src/errors\\.ts$', ports] },
    },
    {
      name: 'ports-are-shapes-to-pure-rooms',
      comment:
        'A pure room may name the shape of an effect. Importing more than a type of a port means that it acts.',
      severity: 'error',
      from: { path: pure },
      to: { path: ports, dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'nothing-imports-the-outside',
      comment:
        'The web, the command line and main are how the world comes in. If a room needs something of theirs, it is in the wrong room. Only the port is for all: it is the shape of the way in.',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/(web|cli)/|^src/main\\.ts$' },
      to: { path: '^src/(web|cli)/|^src/main\\.ts$', pathNot: ports },
    },
    {
      name: 'web-and-cli-are-strangers',
      comment: 'Both are leaves: a command must run without a server, and a server without commands.',
      severity: 'error',
      from: { path: '^src/(web|cli)/' },
      to: { path: '^src/(web|cli)/|^src/main\\.ts$', pathNot: '^src/$1/' },
    },
    {
      name: 'only-main-chooses-the-parts',
      comment:
        'A second place that names a concrete store or carrier is a second place to change when one is added.',
      severity: 'error',
      from: {
        path: '^src/',
        pathNot: '^src/cli/|^src/main\\.ts$|^src/(store|channels)/(sqlite|redis|twilio|practice)/',
      },
      to: { path: '^src/(store/(sqlite|redis)|channels/(twilio|practice))/' },
    },
    {
      name: 'stores-and-carriers-are-strangers',
      comment: 'One store never leans on the other, nor a carrier on another: each must work alone.',
      severity: 'error',
      from: { path: '^src/(store/sqlite|store/redis|channels/twilio)/' },
      to: { path: '^src/(store/(sqlite|redis)|channels/(twilio|practice))/', pathNot: '^src/$1/' },
    },
    {
      name: 'practice-knows-no-store',
      comment:
        "The practice phone posts the carrier's own webhooks, so it may use that carrier's forms; what is kept is not its business.",
      severity: 'error',
      from: { path: '^src/channels/practice/' },
      to: { path: '^src/store/' },
    },
    {
      name: 'no-cycles',
      comment: 'Two modules that need each other are one idea cut in the wrong place.',
      severity: 'error',
      from: { path: '^src/' },
      to: { circular: true },
    },
    {
      name: 'no-orphans',
      comment:
        'A module that nothing reaches does nothing for anyone, and will be wrong by the time somebody uses it.',
      severity: 'error',
      from: { orphan: true, path: '^src/', pathNot: '\\.d\\.ts$' },
      to: {},
    },
    {
      name: 'no-development-packages',
      comment: 'The image is built without development packages: such an import works here and fails there.',
      severity: 'error',
      from: { path: '^src/' },
      to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] },
    },
  ],
  options: {
    // Types count: a pure room that needs a shell's type is leaning on it all the same.
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
};
