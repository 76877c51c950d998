import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { daysAdd } from '../../lib/service/plain-date.ts'

const MACHINES_A_MODEL = 10
const PARTS_A_MODEL = 14

/**
 * A fleet in which ten machines are of one model and so share its causes, looks and parts: forty lines a job, eighteen of them
 * brought in by six causes of three parts each, twelve looked at in one place or two, ten certain. A plan as lib/readiness/plan.ts
 * has it.
 */
export function modelsPlan(machines: number) {
  const random = randomSeeded('models')
  const looks: { id: string; renewed: number; looked: number }[] = []
  const look = (id: string) => {
    looks.push({ id, renewed: randomInteger(random, 0, 4), looked: randomInteger(random, 4, 12) })
    return id
  }
  const models = Array.from({ length: Math.ceil(machines / MACHINES_A_MODEL) }, (_, model) => {
    const part = () => `P${model * PARTS_A_MODEL + randomInteger(random, 0, PARTS_A_MODEL - 1)}`
    const causes = Array.from({ length: 6 }, (_, at) => ({ id: `cause ${at}`, look: look(`M${model} cause ${at}`) }))
    const lines = [
      ...causes.flatMap(({ id }) => [1, 2, 3].map(() => ({ part: part(), cause: id }))),
      ...Array.from({ length: 12 }, (_, at) => ({
        part: part(),
        look: look(`M${model} look ${at}`),
        places: randomPick(random, [1, 2]),
      })),
      ...Array.from({ length: 10 }, () => ({ part: part(), quantity: randomPick(random, [1, 2]) })),
    ]
    return { causes, lines }
  })
  return {
    today: '2026-11-02',
    season: { from: '2026-11-16', until: '2027-03-12' },
    suppliers: [5, 12, 19].map((leadDays, at) => ({ id: `S${at}`, leadDays })),
    machines: Array.from({ length: machines }, (_, at) => ({ id: `K${at}` })),
    parts: Array.from({ length: models.length * PARTS_A_MODEL }, (_, at) => ({
      id: `P${at}`,
      free: randomInteger(random, 0, 4),
      supplier: `S${at % 3}`,
      price: randomInteger(random, 50, 9000),
    })),
    looks,
    jobs: Array.from({ length: machines }, (_, at) => ({
      id: `J${at}`,
      machine: `K${at}`,
      date: daysAdd('2026-11-20', randomInteger(random, 0, 100)),
      ...models[at % models.length]!,
    })),
  }
}
