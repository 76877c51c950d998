import { paths } from '../../app/paths.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { cookieOf, servedStart } from '../support/served.ts'
import { timeEach } from './clock.ts'
import type { Generated } from './generate.ts'
import { spread, typedMake } from './measure.ts'
import type { Measured } from './report.ts'

const WARM = 20

/**
 * The screens as a browser gets them, rendering included: one served process, one request after the other, the whole answer
 * read. The time of the loopback is in it.
 */
export async function servedMeasure(dataDir: string, data: Generated, rounds: number): Promise<Measured[]> {
  const cookie = await cookieOf(data.personId, ['manager'])
  const served = await servedStart(dataDir)
  try {
    const get = async (path: string, says: string) => {
      const response = await fetch(`${served.origin}${path}`, { headers: { cookie } })
      const text = await response.text()
      if (response.status !== 200 || !text.includes(says)) throw new Error(`${path} answered ${response.status}`)
    }
    const random = randomSeeded('bench served figures')
    const ids = Array.from({ length: rounds + WARM }, () => randomInteger(random, 1, data.sizes.figures))
    const figure = (round: number) => {
      const id = ids[round]!
      return get(paths.figure(1 + ((id - 1) % data.sizes.models), id), '</html>')
    }
    const typed = typedMake(data, rounds + WARM)
    const suggest = (round: number) => get(`/search/suggest?q=${encodeURIComponent(typed[round]!)}`, '')
    await timeEach(WARM, (round) => figure(rounds + round))
    const figures = await timeEach(rounds, figure)
    await timeEach(WARM, (round) => suggest(rounds + round))
    const suggestions = await timeEach(rounds, suggest)
    return [...spread('figure page, served', figures, 60), ...spread('search as you type, served', suggestions, 30)]
  } finally {
    await served.kill()
  }
}
