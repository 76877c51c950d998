/**
 * Which folder may import which: the one-way street of the house. Screens call the trade and the database's modules, the
 * database's modules call the trade, and the trade stands on its own ground, so that a torque table or a strip order can
 * be checked, moved and reused without a web framework or a database in the room.
 *
 * Each rule says in its comment what to do instead; the check prints it.
 */

/** Modules of lib/ that touch files, pictures, mail or the command line on purpose. Everything else in lib/ is pure. */
const NOT_PURE = '^lib/(db|cli|picture|verify|reading|mail)/|^lib/settings[.]ts$|^lib/exchange/figure-folder[.]ts$'
const GENERATED = '^lib/db/generated/'
/** Node modules that see nothing of the outside: hashing, packing and piping what was passed in. */
const HARMLESS_NODE = '^(node:)?(crypto|util|buffer|stream|zlib)$'

export const rules = [
  {
    name: 'pure-from-framework',
    comment:
      'The trade knows no web framework and no database driver: take plain values, let the caller read and render.',
    from: { path: '^lib/', pathNot: NOT_PURE },
    to: { path: 'node_modules/(next|react|react-dom|react-hook-form|@prisma|prisma|@libsql|libsql)/' },
  },
  {
    name: 'pure-from-outside',
    comment: 'The trade knows no files, network or processes: take the content as an argument.',
    from: { path: '^lib/', pathNot: NOT_PURE },
    to: { dependencyTypes: ['core'], pathNot: HARMLESS_NODE },
  },
  {
    name: 'pure-from-shell',
    comment:
      'The trade does not call upwards: lib/db, lib/cli, lib/picture, lib/reading, lib/settings, screens and the demo call it.',
    from: { path: '^lib/', pathNot: NOT_PURE },
    to: { path: '^(app|seed|prisma|tests|e2e)/|^lib/(db|cli|reading|verify)/|^lib/settings[.]ts$|^proxy[.]ts$' },
  },
  {
    name: 'picture-stands-alone',
    comment: 'Pictures, pages and figure folders are read without the database or a screen: pass what is needed.',
    from: { path: '^lib/(picture|reading|exchange)/' },
    to: { path: '^(app|seed|prisma|tests|e2e)/|^lib/(db|cli)/|node_modules/(next|react|react-dom|@prisma|@libsql)/' },
  },
  {
    name: 'verify-and-commands-know-no-screen',
    comment: 'Commands and the proof of the ledger run without the web server: call lib/ and lib/db, not screens.',
    from: { path: '^lib/(cli|verify)/' },
    to: { path: '^(app|tests|e2e)/|^proxy[.]ts$|node_modules/(next|react|react-dom)/' },
  },
  {
    name: 'settings-stand-alone',
    comment: 'Settings are read first, so they import nothing of the house.',
    from: { path: '^lib/settings[.]ts$' },
    to: { path: '^(app|lib|seed|prisma|tests|e2e)/' },
  },
  {
    name: 'screens-ask-repositories',
    comment: 'Screens ask a verb of lib/db/<noun>.ts; a query of their own would be a second home of the noun.',
    from: { path: '^app/' },
    to: { path: '^lib/db/(client|adapter|transaction)[.]ts$', dependencyTypesNot: ['type-only'] },
  },
  {
    name: 'database-below-screens',
    comment: 'Repository modules are called by screens and commands, never the other way round.',
    from: { path: '^lib/db/', pathNot: GENERATED },
    to: {
      path: '^(app|prisma|tests|e2e)/|^lib/cli/|^proxy[.]ts$|node_modules/(next|react|react-dom|react-hook-form)/',
    },
  },
  {
    name: 'demo-only-through-its-door',
    comment:
      'Only lib/db/demo*.ts and the demo command load the demo scenario: nothing else may depend on invented data.',
    from: { path: '^(app|lib|prisma)/|^proxy[.]ts$', pathNot: '^lib/db/demo[a-z-]*[.]ts$|^lib/cli/' },
    to: { path: '^seed/' },
  },
  {
    name: 'seed-knows-the-trade-only',
    comment: 'The demo scenario is made from the trade; lib/db/demo*.ts writes it into the database.',
    from: { path: '^seed/' },
    to: { path: '^(app|prisma|tests|e2e)/|^lib/(db|cli)/|node_modules/(next|react|react-dom|@prisma|@libsql)/' },
  },
  {
    name: 'prisma-folder-knows-the-adapter-only',
    comment: 'Migrations run before anything else exists: only the adapter and the settings may be used there.',
    from: { path: '^prisma/' },
    to: { path: '^(app|lib|seed|tests|e2e)/', pathNot: '^lib/db/adapter[.]ts$|^lib/settings[.]ts$' },
  },
  {
    name: 'client-only-in-lib-db',
    comment: 'The generated client is known to lib/db and prisma/ only: ask a repository module.',
    from: { pathNot: '^(lib/db|prisma)/' },
    to: { path: GENERATED },
  },
  {
    name: 'drivers-only-in-lib-db',
    comment:
      'Database drivers are known to lib/db and prisma/ (and the benchmark and tests that go round them on purpose).',
    from: { pathNot: '^(lib/db|prisma|tests)/|^prisma[.]config[.]ts$' },
    to: { path: 'node_modules/(@prisma|prisma|@libsql|libsql)/' },
  },
  {
    name: 'product-not-from-tests',
    comment: 'What is shipped does not import tests.',
    from: { path: '^(app|lib|prisma|seed)/|^proxy[.]ts$' },
    to: { path: '^(tests|e2e)/' },
  },
  {
    name: 'no-cycle',
    comment:
      'Two modules that need each other are one module, or hide a third: move what both need into a file of its own.',
    from: { pathNot: GENERATED },
    to: { circular: true },
  },
  {
    name: 'no-unresolved',
    comment:
      'An import that resolves to nothing is not checked by any rule: correct the path, or make the client first.',
    from: { pathNot: '^[.]next/|^next-env' },
    to: { couldNotResolve: true },
  },
]

export const folders = ['app', 'lib', 'prisma', 'seed', 'tests', 'e2e', 'proxy.ts']

/** Fewer modules than this means the parser failed without a word, not that the house is small. */
export const MODULES_MIN = 100
