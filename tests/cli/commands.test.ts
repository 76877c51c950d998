import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { holdFile, holdTake } from '../../lib/cli/hold.ts'
import { serve } from '../../lib/cli/serve.ts'
import { databaseClose } from '../../lib/db/client.ts'
import { settingsRead } from '../../lib/settings.ts'
import { COMMAND, commandHere, commandInstalled } from '../support/command.ts'
import { useWorkshop } from '../support/database.ts'
import { bend, soundWorkshop } from '../verify/workshop.ts'

const workshop = useWorkshop()

beforeAll(async () => {
  await soundWorkshop(join(workshop.folder, 'pictures'))
  await databaseClose()
})

const command = (...words: string[]) => commandInstalled(words, { ...process.env, DATA_DIR: workshop.folder })

describe('the command line', { timeout: 120_000 }, () => {
  it('answers 2 and what can be said when it is used wrongly, and 0 when asked for help', async () => {
    const wrong = command('mend')
    expect(wrong.status).toBe(2)
    expect(wrong.err).toContain("unknown command 'mend'")
    expect(wrong.err).toContain('--help')
    expect(wrong.out).toBe('')
    expect((await commandHere(['backup'])).status).toBe(2)
    const help = await commandHere(['restore', '--help'])
    expect(help.status).toBe(0)
    expect(help.out).toContain('Exit code: 0 fine, 1 refused or something wrong found, 2 wrong usage.')
  })

  it('proves a sound workshop with 0, and names what is wrong in one that is not with 1', async () => {
    const sound = command('verify', '--json')
    expect(sound.status).toBe(0)
    const report = JSON.parse(sound.out) as { ok: boolean; checks: { name: string; ok: boolean; faults: string[] }[] }
    expect(report.ok).toBe(true)
    expect(report.checks.length).toBeGreaterThan(10)

    await bend(workshop.databaseFile, 'UPDATE Balance SET quantity = quantity + 1 WHERE partId = 2;')
    const wrong = command('verify')
    expect(wrong.status).toBe(1)
    expect(wrong.out).toMatch(/WRONG {2}balances are the sum of their movements: part 2 in bin 2/)
    await bend(workshop.databaseFile, 'UPDATE Balance SET quantity = quantity - 1 WHERE partId = 2;')
  })

  it('backs up and restores, and says what it refuses on stderr with what to do next', () => {
    const file = join(workshop.folder, 'whole.tar.gz')
    const first = command('backup', file, '--json')
    expect(first.status).toBe(0)
    expect(JSON.parse(first.out)).toMatchObject({ file, pictures: 1, missing: [] })

    const again = command('backup', file)
    expect(again.status).toBe(1)
    expect(again.err).toContain('is there already')
    expect(again.err).toContain('Next: ')

    const restored = command('restore', file)
    expect(restored.err).toBe('')
    expect(restored.status).toBe(0)
    expect(restored.out).toContain('What was there is kept in')

    const refused = command('restore', COMMAND, '--json')
    expect(refused.status).toBe(1)
    expect(JSON.parse(refused.err)).toMatchObject({ code: 'backup/refused' })
  })
})

describe('the data folder', { timeout: 120_000 }, () => {
  /** Stands in for a server: a live process whose command line says what it is. */
  let other: ChildProcess
  beforeAll(() => {
    other = spawn(process.execPath, ['-e', 'setTimeout(() => {}, 60000)', 'cotterbook'])
  })
  afterAll(() => {
    other.kill()
  })

  it('is not restored or served twice while a server holds it', () => {
    const file = holdFile(workshop.folder)
    writeFileSync(file, `${other.pid}\n`)
    const refused = command('restore', join(workshop.folder, 'whole.tar.gz'), '--force', '--json')
    expect(refused.status).toBe(1)
    expect(JSON.parse(refused.err)).toMatchObject({ code: 'workshop/served' })
    expect(() => holdTake(workshop.folder, 'take')).toThrow(/workshop\/served/)
    rmSync(file)
  })
})

describe('serving', () => {
  const settings = () => settingsRead({ DATA_DIR: mkdtempSync(join(tmpdir(), 'cotterbook-serve-')) })

  it('holds the data folder while the server runs, brings the database up to date first, and answers its exit code', async () => {
    const its = settings()
    const order: string[] = []
    const look = `const held = require('node:fs').readFileSync(process.env.DATA_DIR + '/serving.pid', 'utf8')
      process.exit(held.split('\\n').length === 3 ? 7 : 8)`
    const status = await serve({
      settings: its,
      prepare: async (file) => order.push(`prepared ${file === its.databaseFile}`),
      say: (line) => order.push(line),
      // The hold gains the server's own number after it has started, so it looks a moment later.
      command: ['-e', `setTimeout(() => { ${look} }, 300)`],
    })
    expect(status).toBe(7)
    expect(order).toEqual(['prepared true', `Cotterbook serves http://127.0.0.1:3000`])
    expect(existsSync(holdFile(its.dataDir))).toBe(false)
    rmSync(its.dataDir, { recursive: true })
  })

  it('lets the data folder go when the server cannot start', async () => {
    const its = settings()
    const prepare = () => Promise.reject(new Error('the database is broken'))
    await expect(serve({ settings: its, prepare, say: () => {}, command: ['-e', ''] })).rejects.toThrow('broken')
    expect(existsSync(holdFile(its.dataDir))).toBe(false)
    rmSync(its.dataDir, { recursive: true })
  })

  it('takes over what a dead server left behind', () => {
    const its = settings()
    writeFileSync(holdFile(its.dataDir), '5000000\n')
    const hold = holdTake(its.dataDir, 'take')
    expect(readFileSync(holdFile(its.dataDir), 'utf8')).toBe(`${process.pid}\n`)
    hold.release()
    rmSync(its.dataDir, { recursive: true })
  })
})
