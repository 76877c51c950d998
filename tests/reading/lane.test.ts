import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { Lane } from '../../lib/reading/lane.ts'
import { lanes, lanesClose } from '../../lib/reading/lanes.ts'
import { pageReaderWarm, pageReadFile } from '../../lib/reading/page-file.ts'
import { pagePicture, sourceOpen } from '../../lib/reading/source.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'
import { madePdf, partsPage, ROWS } from './made-pdf.ts'

const CHILD = fileURLToPath(new URL('./faulty-child.mjs', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'cotterbook-lane-'))
const made: Lane[] = []

function lane(more: { seconds?: number; megabytes?: number } = {}): Lane {
  const one = new Lane({ childFile: CHILD, seconds: 30, megabytes: 4000, idleSeconds: 30, ...more })
  made.push(one)
  return one
}

async function refused(run: Promise<unknown>): Promise<Refusal> {
  const error = await run.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  if (!isRefusal(error)) throw error ?? new Error('nothing was refused')
  return error
}

function runs(pid: number | null): boolean {
  try {
    process.kill(pid!, 0)
    return true
  } catch {
    return false
  }
}

afterEach(() => {
  for (const one of made.splice(0)) one.close()
})
afterAll(() => {
  lanesClose()
  rmSync(folder, { recursive: true, force: true })
})

const open = (name: string) => ({ kind: 'open', path: join(folder, name) }) as const

describe('the reading process', { timeout: 120_000 }, () => {
  it('is kept for the next task, and tells how far it is', async () => {
    const one = lane()
    const steps: string[] = []
    const first = await one.run(open('good'), { onStep: (share, step) => steps.push(`${share} ${step}`) })
    const second = await one.run(open('good'))
    expect(steps).toEqual(['0.5 Half way'])
    expect(second.pages).toBe(first.pages)
    expect(one.pid).toBe(first.pages)
  })

  it.each([
    ['crash', /^crash, page 1: the reader stopped on it: it was ended by SIGABRT\.$/],
    ['exit', /it ended with code 3/],
    ['fault', /RangeError: offset is out of bounds/],
  ])('that ends by a %s refuses this file, and the next one is read by a new process', async (name, words) => {
    const one = lane()
    const before = await one.run(open('good'))
    const error = await refused(one.run(open(name)))
    expect(error.code).toBe('page/reader-died')
    expect(error.happened).toMatch(words)
    const after = await one.run(open('good'))
    expect(after.pages).not.toBe(before.pages)
  })

  it('that hangs is ended after its time, by its own number', async () => {
    const one = lane({ seconds: 2 })
    const running = refused(one.run({ ...open('hang'), kind: 'picture', page: 4, longestSide: null }))
    const { pid } = one
    const error = await running
    expect([error.code, error.happened]).toEqual([
      'page/too-long',
      'hang, page 4: reading was stopped after 2 seconds.',
    ])
    await expect.poll(() => runs(pid)).toBe(false)
  })

  it('that is cancelled ends at once, tasks behind it are done, and a cancelled one that waited is not begun', async () => {
    const one = lane()
    const [stop, other] = [new AbortController(), new AbortController()]
    const first = refused(one.run(open('hang'), { signal: stop.signal }))
    const waiting = refused(one.run(open('hang'), { signal: other.signal }))
    const behind = one.run(open('good'))
    const { pid } = one
    other.abort()
    expect((await waiting).code).toBe('page/cancelled')
    expect(runs(pid)).toBe(true)
    stop.abort()
    expect((await first).code).toBe('page/cancelled')
    expect((await behind).name).toBe('good')
    await expect.poll(() => runs(pid)).toBe(false)
    expect((await refused(one.run(open('good'), { signal: stop.signal }))).code).toBe('page/cancelled')
  })

  it.runIf(existsSync('/proc/self/status'))('that eats memory is ended before the machine suffers', async () => {
    const error = await refused(lane({ megabytes: 400 }).run(open('eat')))
    expect(error.happened).toContain('it needed more than 400 MB of memory')
  })

  it('is made ready once, before the first page, and need not be again', async () => {
    lanesClose()
    expect(await pageReaderWarm()).toBe(true)
    const { pid } = lanes().read
    expect(await pageReaderWarm()).toBe(false)
    expect(lanes().read.pid).toBe(pid)
  })

  it('reads a PDF page end to end: list by its own text, callouts, picture, steps; a hostile file leaves it alive', async () => {
    const path = join(folder, 'list.pdf')
    writeFileSync(path, madePdf({ pages: [partsPage()] }))
    expect(await sourceOpen(path)).toEqual({ kind: 'pdf', pages: 1, name: 'list.pdf' })
    expect((await pagePicture(path, 1, 200)).subarray(1, 4).toString()).toBe('PNG')
    const shares: number[] = []
    const { reading, picture } = await pageReadFile(path, { onProgress: (share) => shares.push(share) })
    expect(reading).toMatchObject({ kind: 'parts-page', width: 2339, height: 1653 })
    expect(
      reading.rows.map(({ item, partNumber, description, quantity }) => ({ item, partNumber, description, quantity })),
    ).toEqual(ROWS.map((row) => ({ ...row, quantity: Number(row.quantity) })))
    expect(reading.callouts.map(({ item }) => item).sort()).toEqual(['1', '2', '3', '4'])
    expect(picture.subarray(1, 4).toString()).toBe('PNG')
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
    const { pid } = lanes().read
    const wrong = join(folder, 'wrong.png')
    writeFileSync(wrong, 'PK\x03\x04')
    expect((await refused(pageReadFile(wrong))).code).toBe('page/wrong-type')
    expect(lanes().read.pid).toBe(pid)
  })
})
