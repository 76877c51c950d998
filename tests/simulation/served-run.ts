import { setTimeout as pause } from 'node:timers/promises'
import { database } from '../../lib/db/client.ts'
import { type Random, randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { movementSend } from '../support/served.ts'

export interface Place {
  parts: readonly number[]
  bins: readonly number[]
}

export interface Crowd {
  /** The served processes; clients are spread over them. */
  origins: readonly string[]
  cookies: readonly string[]
  clients: number
  bookings: number
  place: Place
  seed: string
  told?: (done: number) => void
}

export interface CrowdReport {
  /** Keys of what was acknowledged, with how many movements each must have made. */
  acknowledged: Map<string, 1 | 2 | 'none or one'>
  refused: Set<string>
  /** Answers by status; a lost line is 0. */
  statuses: Map<number, number>
}

const BUSY = 503
const TRIES_MAX = 40

/** One movement as a phone at the shelf sends it, of any kind. */
function wish(random: Random, { parts, bins }: Place, made: readonly number[]): Record<string, unknown> {
  const partId = randomPick(random, parts)
  const binId = randomPick(random, bins)
  const quantity = randomInteger(random, 1, 5)
  const dice = random()
  if (dice < 0.25)
    return { kind: 'receive', partId, binId, quantity: quantity * 2, costMinor: randomInteger(random, 0, 9000) }
  if (dice < 0.6) return { kind: 'issue', partId, binId, quantity, reason: 'yard use' }
  if (dice < 0.8) return { kind: 'transfer', partId, fromBinId: binId, toBinId: randomPick(random, bins), quantity }
  if (dice < 0.9 || made.length === 0)
    return { kind: 'count-difference', partId, binId, counted: quantity, expected: quantity - 1, reason: 'recount' }
  return { kind: 'reversal', movementId: randomPick(random, made), reason: 'booked by mistake' }
}

const movementsOf = (kind: unknown) => (kind === 'transfer' ? 2 : kind === 'count-difference' ? 'none or one' : 1)

/** Many clients at once, each with so many mixed bookings; a busy answer or a lost line is sent again under the same key. */
export async function crowdWork(crowd: Crowd): Promise<CrowdReport> {
  const { origins, cookies, clients, bookings, place, seed, told } = crowd
  const report: CrowdReport = { acknowledged: new Map(), refused: new Set(), statuses: new Map() }
  const made: number[] = []
  let done = 0
  const one = async (name: number, random: Random, turn: number) => {
    const key = `crowd-${seed}-${name}-${turn}`
    const movement = wish(random, place, made)
    for (let attempt = 0; attempt < TRIES_MAX; attempt++) {
      const origin = origins[(name + attempt) % origins.length]!
      const answer = await movementSend(origin, cookies[name % cookies.length]!, key, movement)
      const status = answer?.status ?? 0
      report.statuses.set(status, (report.statuses.get(status) ?? 0) + 1)
      if (status === 0 || status === BUSY) {
        await pause(50 + 20 * attempt)
        continue
      }
      if (status >= 200 && status < 300) {
        report.acknowledged.set(key, movementsOf(movement.kind))
        if (typeof answer?.body.movementId === 'number') made.push(answer.body.movementId)
        // Now and then the answer is lost on the way and the same is sent once more, to the other process.
        if (randomChance(random, 0.05)) {
          const again = await movementSend(
            origins[(name + 1) % origins.length]!,
            cookies[name % cookies.length]!,
            key,
            movement,
          )
          if (again && again.status !== BUSY && JSON.stringify(again.body) !== JSON.stringify(answer?.body))
            throw new Error(`${key} was answered twice, and not alike`)
        }
      } else report.refused.add(key)
      break
    }
    done += 1
    told?.(done)
  }
  await Promise.all(
    Array.from({ length: clients }, async (_, name) => {
      const random = randomSeeded(`crowd ${seed} client ${name}`)
      for (let turn = 0; turn < bookings; turn++) await one(name, random, turn)
    }),
  )
  return report
}

/** What the ledger says against what the clients were told: each acknowledged key its movements, a refused one none. */
export async function crowdFaults(seed: string, { acknowledged, refused }: CrowdReport): Promise<string[]> {
  const rows = await database().movement.groupBy({
    by: ['writeKey'],
    where: { writeKey: { startsWith: `crowd-${seed}-` } },
    _count: { _all: true },
  })
  const made = new Map(rows.map((row) => [row.writeKey, row._count._all]))
  const faults: string[] = []
  for (const [key, wanted] of acknowledged) {
    const count = made.get(key) ?? 0
    if (wanted === 'none or one' ? count > 1 : count !== wanted)
      faults.push(`${key} was acknowledged and made ${count}`)
  }
  for (const key of refused) if (made.has(key)) faults.push(`${key} was refused and made ${made.get(key)}`)
  for (const key of made.keys())
    if (!acknowledged.has(key) && !refused.has(key)) faults.push(`${key} was never answered and made movements`)
  return faults
}
