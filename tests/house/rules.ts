/** House rules as plain functions: text in, faults out. tidy.test.ts shows for each what it catches and holds the tree to it. */
export interface Rule {
  name: string
  /** What to do instead. */
  instead: string
  /** Files it is about, by path below the root. */
  covers: (path: string) => boolean
  /** Lines that break it, as they stand. */
  pattern: RegExp
}

const isCode = (path: string) => /\.(ts|tsx|mjs|js)$/.test(path)
const isText = (path: string) =>
  /\.(ts|tsx|mjs|js|json|css|sql|prisma|md|svg|toml|yml|yaml)$/.test(path) || path === '.npmrc'
const isTest = (path: string) => isCode(path) && /^(tests|e2e)\//.test(path)

/** Folders of lib/ whose answers depend on nothing but what is passed in. */
const isPure = (path: string) =>
  isCode(path) &&
  /^(lib|seed)\//.test(path) &&
  !/^lib\/(db|cli|picture|reading|verify)\/|^lib\/settings\.ts$/.test(path)

/** Joined from pieces, so that this file does not break the rule it states. */
const any = (...words: string[]) => words.join('|')
const LEFTOVERS = any(
  `TO${'DO'}`,
  `FIX${'ME'}`,
  `X${'XX'}`,
  `HA${'CK'}`,
  `[Cc]oming ${'soon'}`,
  `[Ll]orem ${'ipsum'}`,
  `not ${'implemented'} yet`,
)
const MACHINE_FOLDERS = any('work', 'root', 'tmp', 'home', 'Users', 'mnt')
const OFF_SWITCHES = any(
  `@ts-${'ignore'}`,
  `@ts-${'nocheck'}`,
  `@ts-expect-${'error'}`,
  `biome-${'ignore'}`,
  `eslint-${'disable'}`,
)

const COUNTED = [
  'answers',
  'callouts',
  'days',
  'entries',
  'faults',
  'figures',
  'items',
  'jobs',
  'lines',
  'machines',
  'models',
  'movements',
  'notes',
  'numbers',
  'orders',
  'packs',
  'pages',
  'parts',
  'pieces',
  'places',
  'rows',
  'steps',
  'suggestions',
  'tests',
  'things',
]

export const RULES: readonly Rule[] = [
  {
    name: 'leftover words',
    instead: 'finish it, or leave it out and say so in docs/',
    covers: isText,
    pattern: new RegExp(`\\b(${LEFTOVERS})\\b`),
  },
  {
    name: 'tests switched off or alone',
    instead: 'mend the test; what needs outside data skips itself through tests/support/reference.ts',
    covers: isTest,
    // A skip that begins with a condition tells its reason when it runs; one that begins with a title is off for good.
    pattern: /\b(it|test|describe|suite)(\.\w+)*\.((only|todo|fails|fixme)\b|skip(\.\w+)?\s*\(\s*['"`])/,
  },
  {
    name: 'types that give up',
    instead: 'name the type, or use unknown and look at it',
    covers: (path) => /\.tsx?$/.test(path),
    pattern: /(:|<|\bas|,|\|)\s*any\b\s*([;,)>\]|=[\]}]|$)|\bas any\b\s*([;,.)>\]|]|$)/,
  },
  {
    name: 'checks switched off',
    instead: 'change the code so that the check is content',
    covers: (path) => isCode(path) || /\.(css|json)$/.test(path),
    pattern: new RegExp(OFF_SWITCHES),
  },
  {
    name: 'clock and chance in the trade',
    instead: 'take the instant or a seeded source (lib/maths/random.ts) as an argument',
    covers: isPure,
    pattern:
      /\bDate\.now\s*\(|\bMath\.random\s*\(|\bnew Date\s*\(\s*\)|\bperformance\.now\s*\(|\brandom(UUID|Bytes)\s*\(/,
  },
  {
    name: 'paths of one machine',
    instead: 'use import.meta.url, os.tmpdir() or a setting',
    covers: isText,
    pattern: new RegExp(`(^|[\\s"'\`(=:])/(${MACHINE_FOLDERS})/[A-Za-z]`),
  },
  {
    name: 'host of a registry',
    instead: 'let .npmrc of the machine say where packages come from; omit-lockfile-registry-resolved keeps it out',
    covers: (path) => isText(path) || path === 'package-lock.json',
    pattern: new RegExp(
      `"resolv${'ed'}":\\s*"https?:|\\bregistr${'y'}\\s*=|https?://[^"'\\s]*regist${'ry'}[.][^"'\\s]*`,
    ),
  },
  {
    name: 'a number before a plural',
    instead: "write counted(n, 'note') of lib/measure/counted.ts: one day there is one",
    covers: (path) => /^(app|lib)\/.*\.tsx?$/.test(path),
    // A limit in capitals is never one.
    pattern: new RegExp(`\\{(?!counted\\()(?![^{}]*[A-Z]{2}_)[^{}]*\\} (${any(...COUNTED)})(?![=\\w./-])`),
  },
]

/** Faults of one file, each "path:line text". */
export function ruleFaults(rule: Rule, path: string, text: string): string[] {
  if (!rule.covers(path)) return []
  return text
    .split('\n')
    .flatMap((line, at) => (rule.pattern.test(line) ? [`${path}:${at + 1} ${line.trim().slice(0, 120)}`] : []))
}

export const LINES_MAX = 400

/**
 * Files longer than the house allows, each with the length it may not exceed. When a file has shrunk by a tenth its figure must
 * be lowered, so the list only ever gets smaller.
 */
export function lengthFaults(
  lengths: ReadonlyMap<string, number>,
  allowed: Readonly<Record<string, number>>,
): string[] {
  const faults: string[] = []
  for (const [path, lines] of lengths) {
    const most = allowed[path] ?? LINES_MAX
    if (lines > most) faults.push(`${path} has ${lines} lines, at most ${most}: split it by what it is about`)
  }
  for (const [path, most] of Object.entries(allowed)) {
    const lines = lengths.get(path) ?? 0
    if (lines < most * 0.9 || lines <= LINES_MAX)
      faults.push(`${path} has ${lines} lines now: lower its figure from ${most}, or take it off the list`)
  }
  return faults
}

/** Refusal codes that no file throws or names: each is a promise nobody keeps. */
export function codesUnused(codes: readonly string[], texts: readonly string[]): string[] {
  return codes.filter((code) => !texts.some((text) => text.includes(`'${code}'`) || text.includes(`"${code}"`)))
}

/** Statements of a migration that take away or rename a table or column that people's data may be in. */
export function migrationLosses(sql: string): string[] {
  const statements = sql.replace(/--.*$/gm, '').split(';')
  const made = new Set([...sql.matchAll(/CREATE TABLE\s+"(new_\w+)"/gi)].map((found) => found[1]!.slice(4)))
  return statements
    .map((statement) => statement.trim().replace(/\s+/g, ' '))
    .filter((statement) => {
      // SQLite changes a table by copying it to "new_X" and dropping the old one: nothing is lost then.
      const dropped = /^DROP TABLE (?:IF EXISTS )?"?(\w+)"?/i.exec(statement)?.[1]
      if (dropped) return !made.has(dropped)
      if (/^ALTER TABLE "?new_(\w+)"? RENAME TO "?\1"?$/i.test(statement)) return false
      return /^ALTER TABLE .* (DROP COLUMN|RENAME)/i.test(statement) || /^(DELETE FROM|DROP VIEW)/i.test(statement)
    })
}

export interface TableColumns {
  table: string
  columns: string[]
}

/** Names of tables and columns that a later migration no longer has: a retired name stays in the recorded list. */
export function namesLost(recorded: readonly TableColumns[], present: readonly TableColumns[]): string[] {
  const now = new Map(present.map((one) => [one.table, new Set(one.columns)]))
  return recorded.flatMap(({ table, columns }) => {
    const has = now.get(table)
    return has ? columns.filter((column) => !has.has(column)).map((column) => `${table}.${column}`) : [table]
  })
}
