import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { database, databaseClose } from '../../lib/db/client.ts'
import { faultEvidence } from '../../lib/db/fault.ts'
import { leaveOneOut, share } from './fault-score.ts'

const USAGE = `npm run eval:faults -- [--json]

Loads the demo into a temporary folder and, for each closed repair of its three years, leaves that job out and asks the others
which callout is at fault. Prints how often the true one is among the first three (five), beside two baselines: what failed
most often on the model, and the same words without smoothing.`

const { values } = parseArgs({ options: { json: { type: 'boolean', default: false }, help: { type: 'boolean' } } })
if (values.help) console.log(USAGE)
else await run()

async function run(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-faults-'))
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    const made = spawnSync(process.execPath, ['lib/cli/cotterbook.mjs', 'demo'], {
      stdio: ['ignore', 'ignore', 'inherit'],
    })
    if (made.status !== 0) throw new Error('The demo could not be loaded.')
    const models = await database().machineModel.findMany({ select: { id: true, maker: true, name: true } })
    const rows = []
    for (const model of models) {
      const { candidates, past } = await faultEvidence(model.id)
      // A job of a like model is asked for on its own model only.
      const score = leaveOneOut(candidates, past, (job) => job.weight === 1)
      if (score.jobs > 0) rows.push({ model: `${model.maker} ${model.name}`, callouts: candidates.length, ...score })
    }
    report(rows)
  } finally {
    await databaseClose()
    rmSync(folder, { recursive: true, force: true })
  }
}

type Row = { model: string; callouts: number } & ReturnType<typeof leaveOneOut>

function report(rows: Row[]): void {
  const sum = (of: (row: Row) => number) => rows.reduce((total, row) => total + of(row), 0)
  const whole: Row = {
    model: 'all',
    callouts: sum((row) => row.callouts),
    jobs: sum((row) => row.jobs),
    first: sum((row) => row.first),
    three: sum((row) => row.three),
    five: sum((row) => row.five),
    frequentThree: sum((row) => row.frequentThree),
    unsmoothedThree: sum((row) => row.unsmoothedThree),
  }
  if (values.json) {
    console.log(JSON.stringify({ models: rows, all: whole }))
    return
  }
  console.table(
    [...rows, whole].map((row) => ({
      model: row.model,
      callouts: row.callouts,
      jobs: row.jobs,
      first: share(row.first, row.jobs),
      'first three': share(row.three, row.jobs),
      'first five': share(row.five, row.jobs),
      'most frequent, three': share(row.frequentThree, row.jobs),
      'not smoothed, three': share(row.unsmoothedThree, row.jobs),
    })),
  )
}
