import { type WayChosen, type WayPoints, wayChoose } from './frontier.ts'
import { yearSays } from './past-year.ts'
import { CLASS_PIECES_LEAST, type YearGroup } from './past-year-result.ts'
import type { TargetKind } from './target-level.ts'

/** What each way gave of the service that is looked at, and the mean value on the shelf for it. */
export function wayPoints(group: YearGroup, kind: TargetKind): WayPoints[] {
  return group.ways
    .filter((way) => way.kind === kind)
    .map(({ name, points }) => ({
      name,
      points: points.map(({ sum }) => {
        const said = yearSays(sum)
        return { service: said[kind], value: said.value }
      }),
    }))
}

export type GroupChoice =
  | ({ why: 'least-stock' } & WayChosen)
  /** Too few pieces were asked for to tell the ways apart. */
  | { why: 'too-few'; wanted: number }
  | { why: 'none-gives-it' }

/** The way that a group of parts would have done best by, at equal service. */
export function groupChoose(group: YearGroup, kind: TargetKind, service: number): GroupChoice {
  if (group.real.wanted < CLASS_PIECES_LEAST) return { why: 'too-few', wanted: group.real.wanted }
  const chosen = wayChoose(wayPoints(group, kind), service)
  return chosen ? { why: 'least-stock', ...chosen } : { why: 'none-gives-it' }
}
