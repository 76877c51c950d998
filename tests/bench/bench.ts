import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { cpus, tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { createClient } from '@libsql/client'
import { databaseClose } from '../../lib/db/client.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { timeEach, total } from './clock.ts'
import { companionsMeasure } from './companions.ts'
import { demandMeasure, recalculationMeasure } from './demand.ts'
import { framesMeasure } from './frames.ts'
import { generate } from './generate.ts'
import { levelsMeasure } from './levels.ts'
import { figureMeasure, issueMeasure, orderListMeasure, searchMeasure } from './measure.ts'
import { orderPlanMeasure } from './order-plan.ts'
import { readinessMeasure } from './readiness.ts'
import { type Measured, reportTable } from './report.ts'
import { searchKindsMeasure } from './search.ts'
import { servedMeasure } from './served.ts'
import { servicesMeasure } from './services.ts'

const USAGE = `npm run bench -- [--scale 0.02] [--rounds 200] [--only search|frames|...] [--json]

Makes a workshop of the given scale in a temporary folder, measures it and takes it away again. Scale 1 is 1,000 models,
20,000 figures, 500,000 parts list lines, 200,000 parts and 2,000,000 movements (some minutes and 2 GB).
The bars are printed beside what was measured; a missed bar is no failure of this command.`

interface Options {
  scale: number
  rounds: number
  only: string
  json: boolean
}

function optionsRead(): Options | null {
  const { values } = parseArgs({
    options: {
      scale: { type: 'string', default: '0.02' },
      rounds: { type: 'string', default: '200' },
      only: { type: 'string', default: '' },
      json: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) return null
  const [scale, rounds] = [Number(values.scale), Number(values.rounds)]
  if (!(scale > 0 && scale <= 2)) throw new Error('--scale must be a number above 0 and at most 2')
  if (!(Number.isInteger(rounds) && rounds >= 20)) throw new Error('--rounds must be a whole number of at least 20')
  return { scale, rounds, only: values.only, json: values.json }
}

async function main(): Promise<void> {
  const options = optionsRead()
  if (!options) {
    console.info(USAGE)
    return
  }
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-bench-'))
  const databaseFile = join(folder, 'cotterbook.db')
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    await migrateDeploy(databaseFile)
    if (!options.json) console.info(`Making the data set at scale ${options.scale} ...`)
    const made: Awaited<ReturnType<typeof generate>>[] = []
    const seconds = total(await timeEach(1, async () => made.push(await generate(databaseFile, options.scale)))) / 1000
    const data = made[0]!
    const raw = createClient({ url: `file:${databaseFile}`, intMode: 'number' })
    await raw.execute('PRAGMA synchronous=FULL')
    const measured: Measured[] = []
    try {
      const parts: [string, () => Promise<Measured[]>][] = [
        ['figure page', () => figureMeasure(raw, data, options.rounds)],
        ['search', () => searchMeasure(raw, data, options.rounds)],
        ['search by kind', () => searchKindsMeasure(data, options.rounds)],
        ['order list', () => orderListMeasure()],
        ['companions', () => companionsMeasure(options.rounds)],
        ['levels', () => levelsMeasure(options.rounds)],
        ['demand', () => demandMeasure()],
        ['recalculation', () => recalculationMeasure()],
        ['plan of orders', () => orderPlanMeasure()],
        ['readiness', () => readinessMeasure()],
        ['due list', () => servicesMeasure(data.personId, options.rounds)],
        ['durable issue', () => issueMeasure(raw, data, Math.max(options.rounds, 200))],
        // Last, because it is another process; needs the screens built (npm start or npm test does it).
        ['served screens', () => servedMeasure(folder, data, options.rounds)],
        ['frames', () => framesMeasure(folder, data)],
      ]
      for (const [name, measure] of parts.filter(([name]) => name.startsWith(options.only))) {
        // One that breaks at this scale is told with its reason; the others are measured all the same.
        try {
          measured.push(...(await measure()))
        } catch (error) {
          console.error(`${name} broke: ${error instanceof Error ? error.message.trim().split('\n').at(-1) : error}`)
          process.exitCode = 1
        }
      }
    } finally {
      raw.close()
    }
    const megabytes = Math.round(statSync(databaseFile).size / 1e6)
    const facts = {
      scale: options.scale,
      ...data.sizes,
      cpus: cpus().length,
      madeInSeconds: Math.round(seconds),
      megabytes,
    }
    if (options.json) console.info(JSON.stringify({ facts, measured }, null, 2))
    else console.info(reportTable(facts, measured))
  } finally {
    await databaseClose()
    rmSync(folder, { recursive: true, force: true })
  }
}

await main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
})
