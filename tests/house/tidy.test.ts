import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { createClient } from '@libsql/client'
import { describe, expect, inject, it } from 'vitest'
import { REFUSALS } from '../../lib/refusal.ts'
import { migrationsRead } from '../../prisma/engine.ts'
import { migrateDifference } from '../../prisma/migrate.ts'
import { SEARCH_TABLES } from '../../prisma/search-tables.ts'
import recorded from './recorded-names.json'
import { codesUnused, lengthFaults, migrationLosses, namesLost, RULES, ruleFaults, type TableColumns } from './rules.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

/** Longer than the house allows today, with the most they may have. Shorten them; never add one. */
const LONG_FILES: Record<string, number> = {
  'app/base.css': 700,
  'tests/companion/suggest.test.ts': 480,
}

/** Files that still break a rule. Mend them and take them off; a file that no longer needs its place here fails too. */
const KNOWN: Record<string, string[]> = {}

/** Codes of the refusal table that nothing throws: use them or take them out of the table, then out of this list. */
const CODES_UNUSED: string[] = []

/** Every text file of the tree that is or would be kept: what git knows and what it does not ignore. */
const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard', '-z'], {
  cwd: ROOT,
  encoding: 'utf8',
})
  .split('\0')
  .filter((path) => path !== '' && existsSync(join(ROOT, path)))
  .sort()
const textOf = new Map(
  files
    .filter((path) => /\.(ts|tsx|mjs|js|json|css|sql|prisma|md|svg|toml|ya?ml)$|^\.npmrc$/.test(path))
    .map((path) => [path, readFileSync(join(ROOT, path), 'utf8')]),
)

/** For each rule what it must catch and what it must let pass. Joined from pieces so that this file itself stays clean. */
const EXAMPLES: Record<string, { path: string; caught: string[]; passed: string[] }> = {
  'leftover words': {
    path: 'lib/stock/ledger.ts',
    caught: [`// TO${'DO'} count again`, `<p>Coming ${'soon'}</p>`, `// FIX${'ME'}`],
    passed: ['const todoList = jobs', 'Nothing more to do.'],
  },
  'tests switched off or alone': {
    path: 'tests/stock/ledger.test.ts',
    caught: [`it.${'only'}('takes one', run)`, `describe.${'skip'}('ledger', run)`, `test.${'todo'}('later')`],
    passed: [
      'context.skip(reason)',
      "test.skip(missing, 'the reference is not beside this checkout')",
      "it.each(cases)('takes %s', run)",
    ],
  },
  'types that give up': {
    path: 'lib/stock/ledger.ts',
    caught: [`function sum(rows: an${'y'}) {`, `const row = found as an${'y'}`, `const rows: Array<an${'y'}> = []`],
    passed: [
      '// any part will do',
      'const any = (rows: unknown) => rows',
      "says: 'in any bin'",
      '<p>Sign in as any of these:</p>',
    ],
  },
  'checks switched off': {
    path: 'app/shelf/page.tsx',
    caught: [`// @ts-${'ignore'}`, `{/* biome-${'ignore'} lint/a11y: because */}`, `// eslint-${'disable'}-next-line`],
    passed: ['// the rule is ignored by people who hurry'],
  },
  'clock and chance in the trade': {
    path: 'lib/stock/ledger.ts',
    caught: [
      'const now = Date.now()',
      'if (Math.random() < 0.5) return',
      'const today = new Date()',
      'const id = randomUUID()',
    ],
    passed: ['const at = new Date(instant)', 'const next = random()'],
  },
  'paths of one machine': {
    path: 'lib/stock/ledger.ts',
    caught: [`const folder = '/${'work'}/shared'`, `see /${'home'}/ada/book.pdf`, `\`/${'tmp'}/bench\``],
    passed: ["import { x } from '../work/plan.ts'", "const address = '/jobs/12'", 'seed/estate/work/x'],
  },
  'host of a registry': {
    path: 'package-lock.json',
    caught: [`      "resolv${'ed'}": "https://packages.example/next.tgz",`, `registr${'y'}=https://packages.example/`],
    passed: ['      "integrity": "sha512-abc",', '"url": "https://example.org/funding"'],
  },
  'a number before a plural': {
    path: 'app/jobs/page.tsx',
    caught: ['<p>{open.length} things to do</p>', `\`\${count} notes\``, '  {source.pageCount} pages'],
    passed: [
      "<p>{counted(open.length, 'thing')} to do</p>",
      `\`at most \${PAGES_AT_ONCE_MAX} pages\``,
      '<Lines of={due} lines={due}',
      "{counted(4, 'page')} {x} page-numbers",
    ],
  },
}

describe('house rules', () => {
  it('every rule has examples of what it catches', () => {
    expect(Object.keys(EXAMPLES).sort()).toEqual(RULES.map((rule) => rule.name).sort())
  })

  it.each(RULES)('$name: caught where it stands, and only there', (rule) => {
    const { path, caught, passed } = EXAMPLES[rule.name]!
    for (const line of caught)
      expect(ruleFaults(rule, path, `first\n${line}\n`), line).toEqual([expect.stringContaining(`${path}:2 `)])
    for (const line of passed) expect(ruleFaults(rule, path, line), line).toEqual([])
  })

  it.each(RULES)('$name: none in this tree', (rule) => {
    expect(textOf.size).toBeGreaterThan(200)
    const known = KNOWN[rule.name] ?? []
    const broken = [...textOf].flatMap(([path, text]) => ruleFaults(rule, path, text))
    const faults = broken.filter((fault) => !known.some((path) => fault.startsWith(`${path}:`)))
    expect(faults, `${rule.name}: ${rule.instead}`).toEqual([])
    expect(
      known.filter((path) => !broken.some((fault) => fault.startsWith(`${path}:`))),
      'take these off the list of known ones',
    ).toEqual([])
  })

  it('the clock is free where the house meets the world, and bound in the trade', () => {
    const rule = RULES.find((one) => one.name === 'clock and chance in the trade')!
    expect(ruleFaults(rule, 'app/shelf/actions.ts', 'now: new Date()')).toEqual([])
    expect(ruleFaults(rule, 'lib/db/session.ts', 'now: new Date()')).toEqual([])
    expect(ruleFaults(rule, 'seed/scenario.ts', 'now: new Date()')).toHaveLength(1)
  })
})

describe('length of files', () => {
  it('a file over the limit is named, a listed one may not grow, and a shrunken one must come off the list', () => {
    expect(lengthFaults(new Map([['lib/a.ts', 400]]), {})).toEqual([])
    expect(lengthFaults(new Map([['lib/a.ts', 401]]), {})).toHaveLength(1)
    expect(lengthFaults(new Map([['lib/a.ts', 470]]), { 'lib/a.ts': 480 })).toEqual([])
    expect(lengthFaults(new Map([['lib/a.ts', 481]]), { 'lib/a.ts': 480 })).toHaveLength(1)
    expect(lengthFaults(new Map([['lib/a.ts', 300]]), { 'lib/a.ts': 480 })).toHaveLength(1)
    expect(lengthFaults(new Map(), { 'lib/gone.ts': 480 })).toHaveLength(1)
  })

  it('no file of app, lib, tests and e2e is longer than the house allows', () => {
    const lengths = new Map(
      [...textOf]
        .filter(([path]) => /^(app|lib|tests|e2e)\/.*\.(ts|tsx|mjs|css)$/.test(path))
        .map(([path, text]) => [path, text.replace(/\n$/, '').split('\n').length]),
    )
    expect(lengthFaults(lengths, LONG_FILES)).toEqual([])
  })
})

describe('refusals', () => {
  it('a code that nobody throws is found', () => {
    expect(codesUnused(['stock/gone', 'stock/here'], ["throw new Refusal('stock/here')"])).toEqual(['stock/gone'])
  })

  it('every code of the table is thrown somewhere, but for the listed ones', () => {
    const texts = [...textOf]
      .filter(
        ([path]) => /^(app|lib|seed)\/.*\.(ts|tsx|mjs)$|^proxy\.ts$/.test(path) && !path.startsWith('lib/refusal-'),
      )
      .map(([, text]) => text)
    expect(codesUnused(Object.keys(REFUSALS), texts).sort()).toEqual(CODES_UNUSED)
  })
})

describe('schema', () => {
  it('a migration that drops, renames or empties is found; the copy that SQLite needs to change a table is not one', () => {
    expect(migrationLosses('DROP TABLE "Movement";')).toEqual(['DROP TABLE "Movement"'])
    expect(migrationLosses('ALTER TABLE "Part" DROP COLUMN "maker";')).toHaveLength(1)
    expect(migrationLosses('ALTER TABLE "Part" RENAME COLUMN "maker" TO "make";')).toHaveLength(1)
    expect(migrationLosses('DELETE FROM "Write";')).toHaveLength(1)
    expect(migrationLosses('-- DROP TABLE "Part"\nALTER TABLE "Part" ADD COLUMN "weight" INTEGER;')).toEqual([])
    expect(
      migrationLosses(
        'CREATE TABLE "new_Part" ("id" INTEGER);INSERT INTO "new_Part" SELECT "id" FROM "Part";DROP TABLE "Part";ALTER TABLE "new_Part" RENAME TO "Part";',
      ),
    ).toEqual([])
  })

  it('every migration only adds', () => {
    const migrations = migrationsRead()
    expect(migrations.length).toBeGreaterThanOrEqual(2)
    expect(
      migrations.flatMap(({ name, sql }) => migrationLosses(sql).map((statement) => `${name}: ${statement}`)),
    ).toEqual([])
  })

  it('a table or column that has gone is found', () => {
    const before = [
      { table: 'Part', columns: ['id', 'maker'] },
      { table: 'Bin', columns: ['id'] },
    ]
    expect(namesLost(before, [{ table: 'Part', columns: ['id'] }])).toEqual(['Part.maker', 'Bin'])
    expect(namesLost(before, [...before, { table: 'New', columns: ['id'] }])).toEqual([])
  })

  it('every table and column that was ever recorded is still there, and new ones are recorded', async () => {
    const client = createClient({ url: `file:${join(inject('templateFolder'), 'template.db')}` })
    const present: TableColumns[] = []
    try {
      const tables = await client.execute(
        `SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'
         AND name NOT LIKE '\\_%' ESCAPE '\\' ORDER BY name`,
      )
      for (const row of tables.rows) {
        if (SEARCH_TABLES.includes(String(row.name))) continue
        const columns = await client.execute({
          sql: 'SELECT name FROM pragma_table_info(?) ORDER BY cid',
          args: [String(row.name)],
        })
        present.push({ table: String(row.name), columns: columns.rows.map((column) => String(column.name)) })
      }
    } finally {
      client.close()
    }
    expect(namesLost(recorded, present), 'people have data in these: bring them back').toEqual([])
    expect(namesLost(present, recorded), 'add these to tests/house/recorded-names.json').toEqual([])
  })

  it('schema and migrations say the same', async () => {
    expect(await migrateDifference()).toBeNull()
  })
})
