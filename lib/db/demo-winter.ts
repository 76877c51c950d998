import { BUYER } from '../../seed/estate/people.ts'
import { dateOf } from '../service/plain-date.ts'
import { seasonName, seasonProposed } from '../winter/season.ts'
import { winterBegin } from './winter.ts'

/** The winter ahead of the demo: two machines a week, shut between Christmas and the new year. */
export async function winterMake(now: Date): Promise<void> {
  const season = seasonProposed(dateOf(now))
  const year = Number(season.until.slice(0, 4))
  await winterBegin(
    { key: 'demo-winter-plan', personId: BUYER, now },
    {
      ...season,
      name: seasonName(season),
      machinesAWeek: 2,
      workdays: [1, 2, 3, 4, 5],
      shut: [{ from: `${year - 1}-12-24`, until: `${year}-01-01` }],
    },
  )
}
