import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, it } from 'vitest'
import { MODULES_MIN, rules } from './boundaries.config.mjs'
import { boundariesRead } from './boundaries.mjs'

const made: string[] = []

/** A tree with the given files; packages named in it exist as empty ones. */
function tree(files: Record<string, string>): string {
  const root = mkdtempSync(join(tmpdir(), 'cotterbook-boundaries-'))
  made.push(root)
  const packages = ['next', 'react', '@prisma/client', '@libsql/client', 'zod']
  const all: Record<string, string> = { 'tsconfig.json': '{"compilerOptions":{"paths":{"@/*":["./*"]}}}', ...files }
  for (const name of packages) {
    all[`node_modules/${name}/package.json`] = JSON.stringify({ name, version: '1.0.0', main: 'index.js' })
    all[`node_modules/${name}/index.js`] = 'export const nothing = 1'
  }
  for (const [path, content] of Object.entries(all)) {
    mkdirSync(dirname(join(root, path)), { recursive: true })
    writeFileSync(join(root, path), content)
  }
  return root
}

async function rulesBroken(files: Record<string, string>): Promise<string[]> {
  const { faults } = await boundariesRead(tree(files))
  return [...new Set(faults.map((fault) => fault.rule))].sort()
}

afterEach(() => {
  for (const root of made.splice(0)) rmSync(root, { recursive: true, force: true })
})

const one = 'export const one = 1\n'

/** One planted fault for each rule: the files, and the rules that must speak. */
const PLANTED: { rule: string; says: string; files: Record<string, string> }[] = [
  {
    rule: 'pure-from-framework',
    says: 'a torque table that asks the web framework',
    files: { 'lib/fastener/torque.ts': "import { nothing } from 'next'\nexport const torque = nothing\n" },
  },
  {
    rule: 'pure-from-framework',
    says: 'a torque table that only borrows a type from the database driver',
    files: {
      'lib/fastener/torque.ts': "import type { nothing } from '@prisma/client'\nexport type Torque = typeof nothing\n",
    },
  },
  {
    rule: 'pure-from-outside',
    says: 'a strip order that reads a file',
    files: {
      'lib/figure/strip-order.ts': "import { readFileSync } from 'node:fs'\nexport const read = readFileSync\n",
    },
  },
  {
    rule: 'pure-from-shell',
    says: 'a stock level that calls the database',
    files: { 'lib/stock/level.ts': "export { one } from '../db/stock.ts'\n", 'lib/db/stock.ts': one },
  },
  {
    rule: 'picture-stands-alone',
    says: 'a picture reader that looks into the database',
    files: { 'lib/picture/raster.ts': "export { one } from '../db/picture.ts'\n", 'lib/db/picture.ts': one },
  },
  {
    rule: 'verify-and-commands-know-no-screen',
    says: 'a command that borrows from a screen',
    files: { 'lib/cli/demo.ts': "export { one } from '../../app/shelf/query.ts'\n", 'app/shelf/query.ts': one },
  },
  {
    rule: 'screens-ask-repositories',
    says: 'a screen that asks the database itself',
    files: { 'app/shelf/page.tsx': "export { one } from '../../lib/db/client.ts'\n", 'lib/db/client.ts': one },
  },
  {
    rule: 'settings-stand-alone',
    says: 'settings that need a module of the house',
    files: { 'lib/settings.ts': "export { one } from './refusal.ts'\n", 'lib/refusal.ts': one },
  },
  {
    rule: 'database-below-screens',
    says: 'a repository module that imports a screen, by its short name',
    files: { 'lib/db/part.ts': "export { one } from '@/app/paths.ts'\n", 'app/paths.ts': one },
  },
  {
    rule: 'demo-only-through-its-door',
    says: 'a repository module that knows the demo estate',
    files: { 'lib/db/part.ts': "export { one } from '../../seed/scenario.ts'\n", 'seed/scenario.ts': one },
  },
  {
    rule: 'seed-knows-the-trade-only',
    says: 'a demo scenario that writes by itself',
    files: { 'seed/scenario.ts': "export { one } from '../lib/db/part.ts'\n", 'lib/db/part.ts': one },
  },
  {
    rule: 'prisma-folder-knows-the-adapter-only',
    says: 'a migration that uses the ledger of today',
    files: { 'prisma/migrate.ts': "export { one } from '../lib/db/stock.ts'\n", 'lib/db/stock.ts': one },
  },
  {
    rule: 'client-only-in-lib-db',
    says: 'a screen that queries past the repository modules',
    files: {
      'app/page.tsx': "export { one } from '@/lib/db/generated/prisma/client.ts'\n",
      'lib/db/generated/prisma/client.ts': one,
    },
  },
  {
    rule: 'drivers-only-in-lib-db',
    says: 'a screen with a database driver of its own',
    files: { 'app/page.tsx': "export { nothing } from '@libsql/client'\n" },
  },
  {
    rule: 'product-not-from-tests',
    says: 'a screen that uses a test builder',
    files: { 'app/page.tsx': "export { one } from '@/tests/support/builders.ts'\n", 'tests/support/builders.ts': one },
  },
  {
    rule: 'no-cycle',
    says: 'two modules that need each other',
    files: {
      'lib/stock/ledger.ts': "import { kind } from './movement.ts'\nexport const ledger = () => kind\n",
      'lib/stock/movement.ts': "import { ledger } from './ledger.ts'\nexport const kind = () => ledger\n",
    },
  },
  {
    rule: 'no-unresolved',
    says: 'an import of a file that is not there',
    files: { 'lib/stock/ledger.ts': "export { one } from './gone.ts'\n" },
  },
]

describe('imports go one way', () => {
  it('every rule has a planted fault that it catches', () => {
    expect([...new Set(PLANTED.map((planted) => planted.rule))].sort()).toEqual(rules.map((rule) => rule.name).sort())
  })

  it.each(PLANTED)('$rule catches $says', async ({ rule, files }) => {
    expect(await rulesBroken(files)).toContain(rule)
  })

  it('screens calling the trade and repositories, the demo door and plain hashing are all allowed', async () => {
    const broken = await rulesBroken({
      'app/page.tsx':
        "import { part } from '@/lib/db/part.ts'\nimport { torque } from '@/lib/fastener/torque.ts'\nexport default [part, torque]\n",
      'lib/db/part.ts':
        "import { torque } from '../fastener/torque.ts'\nimport { nothing } from '@prisma/client'\nexport const part = [torque, nothing]\n",
      'lib/db/demo-jobs.ts': "export { torque } from '../../seed/scenario.ts'\n",
      'seed/scenario.ts': "export { torque } from '../lib/fastener/torque.ts'\n",
      'lib/fastener/torque.ts':
        "import { createHash } from 'node:crypto'\nimport { nothing } from 'zod'\nexport const torque = [createHash, nothing]\n",
      'lib/cli/demo.ts':
        "import { readFileSync } from 'node:fs'\nexport { torque } from '../db/demo-jobs.ts'\nexport const read = readFileSync\n",
      'prisma/migrate.ts': "export { one } from '../lib/db/adapter.ts'\n",
      'lib/db/adapter.ts': one,
    })
    expect(broken).toEqual([])
  })

  it('this tree has no import the wrong way, and the reader read all of it', { timeout: 120_000 }, async () => {
    const { modules, faults } = await boundariesRead(
      fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, ''),
    )
    expect(faults.map((fault) => fault.words)).toEqual([])
    expect(modules).toBeGreaterThan(MODULES_MIN)
  })
})
