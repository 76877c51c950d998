import { stockFor } from '@/lib/demand/frontier.ts'
import { yearSays } from '@/lib/demand/past-year.ts'
import { groupChoose, wayPoints } from '@/lib/demand/past-year-choice.ts'
import type { PastYear, YearGroup } from '@/lib/demand/past-year-result.ts'
import { wayName } from '@/lib/demand/past-year-words.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import type { YearQuestion } from './question.ts'
import { share } from './share.ts'

/** What it comes to for whoever keeps the shelf, in a few plain sentences, and what it does not say. */
export function YearMeans(props: { year: PastYear; group: YearGroup; question: YearQuestion; currency: string }) {
  const { group, question, currency } = props
  const { kind } = question
  const money = (value: number) => moneyFormat(Math.round(value), currency)
  const [kept, real] = [yearSays(group.kept), yearSays(group.real)]
  const choice = groupChoose(group, kind, question.service)
  const chosen = choice.why === 'least-stock' ? choice : null
  const points = wayPoints(group, kind).find((way) => way.name === chosen?.name)?.points ?? []
  // Like with like: the same service as the levels kept now gave.
  const same = stockFor(points, kept[kind])
  const served = (service: number) =>
    kind === 'fill'
      ? `${share(service)} of the pieces handed out at once`
      : `nobody waiting in ${share(service)} of the months`
  return (
    <section className="sheet stack tight" aria-labelledby="means">
      <h2 id="means">What it means</h2>
      <p>
        {counted(group.real.wanted, 'piece')} of {counted(group.real.parts, 'part')} were taken in the year. Parts worth{' '}
        <strong>{money(real.value)}</strong> really lay on the shelf. The levels kept now would have had{' '}
        {served(kept[kind])}, with <strong>{money(kept.value)}</strong> on the shelf.
      </p>
      {chosen ? (
        <p>
          {same !== null && same < kept.value ? (
            <>
              For the same service levels set by “{wayName(chosen.name)}” would have needed{' '}
              <strong>{money(same)}</strong>, {money(kept.value - same)} less: some of what lies there was not needed
              last year.
            </>
          ) : (
            <>
              For {served(question.service)} levels set by “{wayName(chosen.name)}” would have needed{' '}
              <strong>{money(chosen.value)}</strong>
              {same === null
                ? '; none of its levels gave as good a service as those kept now.'
                : '; for the service of the levels kept now no less than they need.'}
            </>
          )}
        </p>
      ) : choice.why === 'too-few' ? (
        <p>{counted(choice.wanted, 'piece')} in a year are too few to tell one way from the other.</p>
      ) : (
        <p>No way that was tried gave {served(question.service)}.</p>
      )}
      <p className="small">
        <span aria-hidden="true">▲ </span>
        <span className="strong">Mind:</span> an average hides the one part that a machine stands still without, and a
        brake or a guard does not wait for an average. Go by the maker’s manual for what must be in stock, and look at
        vital parts one by one before a level goes down.
      </p>
    </section>
  )
}
