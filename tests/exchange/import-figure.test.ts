import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { figureFolderRead, importFigureCommand } from '../../lib/cli/import-figure.ts'
import { database } from '../../lib/db/client.ts'
import { COMMAND_LINE } from '../../lib/db/command-line.ts'
import { type FigureToImport, figureImport } from '../../lib/db/figure-import.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { needReference } from '../support/reference.ts'
import { hub, refusalOf, rowsOf } from './hub-figure.ts'

const workshop = useWorkshop()
const rows = () => rowsOf(workshop.folder)

describe('cotterbook import figure', () => {
  const folders: string[] = []
  afterEach(() => {
    vi.restoreAllMocks()
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
  })

  function folderOf(sent: FigureToImport): string {
    const folder = mkdtempSync(join(tmpdir(), 'cotterbook-figure-'))
    folders.push(folder)
    writeFileSync(join(folder, 'figure.json'), JSON.stringify(sent.file))
    writeFileSync(join(folder, sent.picture.name), sent.picture.bytes)
    return folder
  }

  async function run(...args: Parameters<typeof importFigureCommand>) {
    const said = { out: '', err: '' }
    for (const stream of ['out', 'err'] as const)
      vi.spyOn(process[`std${stream}`], 'write').mockImplementation((text) => {
        said[stream] += String(text)
        return true
      })
    const exit = await importFigureCommand(...args)
    vi.restoreAllMocks()
    return { exit, ...said }
  }

  it('says what was made, and who did it stands in the books', async () => {
    const folder = folderOf(hub())
    const before = await rows()
    const rehearsed = await run(folder, { dryRun: true, json: true })
    expect(JSON.parse(rehearsed.out)).toMatchObject({ dryRun: true, made: { lines: 3 } })
    expect(await rows()).toEqual(before)
    const done = await run(folder)
    expect(done).toMatchObject({ exit: 0, err: '' })
    expect(done.out).toMatch(/^Figure \d+ is in the parts book\.\n {2}machine model: new\n {2}parts: 3 new, 0 known\n/)
    const person = await database().person.findUniqueOrThrow({ where: { id: COMMAND_LINE } })
    expect(person).toMatchObject({ name: 'Command line', active: false, secretHash: '!' })
    const again = await run(join(folder, 'figure.json'))
    expect(again).toMatchObject({ exit: 1, out: '' })
    expect(again.err).toMatch(/already in the parts book\.\nNext: Give the new one another number\.\n$/)
  })

  it('lists the faults, as text and as JSON, and answers 1', async () => {
    const folder = folderOf(hub({ title: '', number: '' }))
    expect(await run(folder)).toMatchObject({
      exit: 1,
      out: '',
      err: 'In figure.json, things that stand in the way: 2.\n  title: is empty\n  number: is empty\nNext: Nothing was imported. Correct what is listed below and run it again.\n',
    })
    const { err } = await run(folder, { json: true })
    expect(JSON.parse(err)).toMatchObject({ code: 'import/refused', faults: ['title: is empty', 'number: is empty'] })
  })

  it('answers 2 where there is nothing to read', async () => {
    const { exit, err } = await run(join(tmpdir(), 'no-such-folder'))
    expect(exit).toBe(2)
    expect(err).toMatch(/Next: name a folder/)
  })

  it('does not follow a picture out of the folder', async () => {
    const secret = folderOf(hub())
    const sent = hub()
    const folder = folderOf(sent)
    rmSync(join(folder, 'hub.svg'))
    symlinkSync(join(secret, 'hub.svg'), join(folder, 'hub.svg'))
    expect((await run(folder)).err).toMatch(/hub.svg cannot be read: it leads out of the folder/)
    mkdirSync(join(folder, 'art'))
    cpSync(join(secret, 'hub.svg'), join(folder, 'art', 'hub.svg'))
    writeFileSync(
      join(folder, 'figure.json'),
      JSON.stringify({ ...sent.file, picture: { ...sent.file.picture, file: 'art/hub.svg' } }),
    )
    expect((await run(folder, { dryRun: true })).exit).toBe(0)
  })

  it('takes maker and model from the options', async () => {
    const folder = folderOf(hub())
    const { out } = await run(folder, { maker: 'Harrowgate Works', model: 'HW 12', json: true })
    const { modelId } = JSON.parse(out) as { modelId: number }
    expect(await database().machineModel.findUniqueOrThrow({ where: { id: modelId } })).toMatchObject({
      maker: 'Harrowgate Works',
      name: 'HW 12',
    })
  })
})

// Figures, callouts and leader ends as counted by hand in the reference's README (drawings under CC BY-SA 4.0 and MIT).
describe('real drawings of open-hardware machines', () => {
  it('come in whole: 13 figures, 153 callouts, 160 leader ends', { timeout: 120_000 }, async (context) => {
    const root = needReference(context, 'figures')
    const counted = [
      ...readFileSync(join(root, 'README.md'), 'utf8').matchAll(
        /^\| ([\w-]+) \| \d+x\d+ [^|]*\| \w+ \| (\d+) \| (\d+) \| (\d+) \(/gm,
      ),
    ]
    expect(counted).toHaveLength(13)
    const total = { callouts: 0, leaderEnds: 0 }
    const before = await rows()
    for (const [, name, callouts, leaderEnds, lines] of counted) {
      const read = await figureFolderRead(join(root, name!))
      const done = await figureImport(asWriter('nell'), read)
      expect([name, done.made.callouts, done.made.leaderEnds, done.made.lines]).toEqual([
        name,
        +callouts!,
        +leaderEnds!,
        +lines!,
      ])
      total.callouts += done.made.callouts
      total.leaderEnds += done.made.leaderEnds
      const figure = await database().figure.findUniqueOrThrow({ where: { id: done.figureId } })
      expect(figure.credit).toMatch(/(?:MIT|CC BY-SA 4\.0).*; http/)
    }
    expect(total).toEqual({ callouts: 153, leaderEnds: 160 })
    expect((await rows()).figure! - before.figure!).toBe(13)
    expect(
      (await refusalOf(figureImport(asWriter('nell'), await figureFolderRead(join(root, counted[0]![1]!))))).code,
    ).toBe('figure/exists')
  })
})
