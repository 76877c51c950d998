import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { queryId } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { winterPlanRead } from '@/lib/db/winter.ts'
import { type WinterReview, winterReview } from '@/lib/db/winter-review.ts'
import { counted } from '@/lib/measure/counted.ts'
import { isRefusal } from '@/lib/refusal.ts'
import { chancesSay } from '@/lib/winter/review-looks.ts'
import { machinesSay } from '@/lib/winter/review-machine.ts'
import { moneyWords } from '@/lib/winter/words.ts'
import styles from '../../winter.module.css'
import { LooksTable } from './looks-table.tsx'
import { MachinesTable } from './machines-table.tsx'
import { PartsTable } from './parts-table.tsx'

export const metadata: Metadata = { title: 'Review of the winter' }

/** The plan of an address with its review; null before its season. */
async function reviewOfAddress(text: string) {
  const planId = queryId(text)
  if (planId === null) notFound()
  try {
    const [plan, review] = await Promise.all([winterPlanRead(planId), winterReview(planId, new Date())])
    return { plan, review }
  } catch (error) {
    if (isRefusal(error) && error.code === 'winter/no-such') notFound()
    throw error
  }
}

export default async function WinterReviewPage({ params }: { params: Promise<{ plan: string }> }) {
  await signedIn()
  const { plan, review } = await reviewOfAddress((await params).plan)
  return (
    <main className="page" id="page">
      <PageHead up={paths.winter(plan.id)} from={plan.name} about="planned against used" title="Review of the season">
        {review === null ? null : (
          <nav className="row no-print" aria-label="Take along">
            <PrintButton>Print the review</PrintButton>
            <a className="button" href={paths.winterReviewCsv(plan.id)}>
              Review as CSV
            </a>
          </nav>
        )}
      </PageHead>
      {review === null ? (
        <p className="empty">
          The season begins on <When at={plan.work.from} />. From that day on this page sets what the plan said beside
          what was used.
        </p>
      ) : (
        <Review review={review} />
      )}
    </main>
  )
}

function Review({ review }: { review: WinterReview }) {
  const { rows, machines, chances, copy, currency, numbers } = review
  return (
    <div className="stack loose">
      <Begin review={review} />
      <Sums review={review} />
      <section className="stack tight" aria-labelledby="machines">
        <h2 id="machines">Machines</h2>
        {copy === null ? (
          <p className="soft">Nothing was kept of which machines were to come in.</p>
        ) : machines.length === 0 ? (
          <p className="soft">No machine was to come in.</p>
        ) : (
          <>
            <p>{machinesSay(machines, review.chance)}</p>
            <MachinesTable rows={machines} numbers={numbers} />
          </>
        )}
      </section>
      <section className="stack tight" aria-labelledby="parts">
        <h2 id="parts">Parts</h2>
        {rows.length === 0 ? (
          <p className="soft">The plan named no part, and none was missed.</p>
        ) : (
          <Parts rows={rows} currency={currency} />
        )}
      </section>
      <section className="stack tight" aria-labelledby="chances">
        <h2 id="chances">How good the chances were</h2>
        {copy === null ? (
          <p className="soft">Nothing was kept of the chances of that time.</p>
        ) : (
          <p>{chancesSay(chances)}</p>
        )}
        {chances.looks.length > 0 ? (
          <details open={chances.looks.length <= OPEN_MOST} className={styles.wholeOnPaper}>
            <summary className="button quiet">
              {counted(chances.looks.length, 'thing')} that {chances.looks.length === 1 ? 'was' : 'were'} looked at
            </summary>
            <LooksTable looks={chances.looks} />
          </details>
        ) : null}
      </section>
    </div>
  )
}

/** More rows than this are folded away on the screen; on paper all of them stand. */
const OPEN_MOST = 12

/** What went as planned is folded below what was missing or is left over. */
function Parts({ rows, currency }: Pick<WinterReview, 'rows' | 'currency'>) {
  const apart = rows.filter(({ missing, left }) => missing > 0 || left > 0)
  const rest = rows.filter(({ missing, left }) => missing === 0 && left === 0)
  return (
    <>
      {apart.length === 0 ? (
        <p>Nothing was missing, and nothing is left over of what was bought.</p>
      ) : (
        <PartsTable rows={apart} currency={currency} caption="Parts that were missing, then what is left over" />
      )}
      {rest.length === 0 ? null : (
        <details open={rest.length <= OPEN_MOST} className={styles.wholeOnPaper}>
          <summary className="button quiet">
            {counted(rest.length, 'part')} of which none was missing and none is left over
          </summary>
          <PartsTable rows={rest} currency={currency} caption="Parts of which none was missing and none is left over" />
        </details>
      )}
    </>
  )
}

const COPY_SAYS = {
  begin: 'when its season had begun',
  orders: 'when orders were made of it',
  end: 'when it was closed',
} as const

function Begin({ review: { plan, span, isOver, copy } }: { review: WinterReview }) {
  return (
    <div className="stack tight">
      <p>
        {isOver ? 'The season ran from ' : 'The season runs from '}
        <When at={plan.work.from} /> to <When at={plan.work.until} />. What is counted here happened from{' '}
        <When at={span.from} /> to <When at={span.until} />
        {isOver ? '.' : ', which is today: the review is not yet whole.'}
      </p>
      {copy === null ? (
        <p className="caution">
          Nothing was kept of what this plan said: it is older than the review, or was never looked at in its season. So
          only what was bought, used and missed is shown, and nothing is called planned.
        </p>
      ) : (
        <p className="soft">
          Planned is what the plan said on <When at={copy.at} />, {COPY_SAYS[copy.kind]}.
        </p>
      )}
    </div>
  )
}

function Sums({ review: { sums, unforeseen, currency, copy } }: { review: WinterReview }) {
  const money = (minor: number) => moneyWords(minor, currency)
  const lines: [string, number, string][] = [
    ...(copy === null
      ? []
      : ([['Planned', sums.meanMinor, `${money(sums.certainMinor)} of it in any case, the rest expected`]] as [
          string,
          number,
          string,
        ][])),
    ['Bought for it', sums.boughtMinor, 'by the orders of this plan'],
    ['Used', sums.usedMinor, 'of these parts by all jobs, less what was put back'],
    ['Left over', sums.leftMinor, 'bought for the season, and nothing needed it'],
    ['Missing', sums.missingMinor, 'needed beyond what was there and bought'],
  ]
  return (
    <section className="stack tight" aria-labelledby="sums">
      <h2 id="sums">In money</h2>
      <table className="parts fold">
        <caption className="visually-hidden">Sums of the season</caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col" className="right">
              Money
            </th>
            <th scope="col">Which is</th>
          </tr>
        </thead>
        <tbody>
          {lines.map(([what, minor, says]) => (
            <tr key={what}>
              <td>{what}</td>
              <td className="right strong">{money(minor)}</td>
              <td className="wide soft">{says}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {unforeseen.parts === 0 ? null : (
        <p className="soft">
          Jobs also took {counted(unforeseen.parts, 'part')} that {unforeseen.parts === 1 ? 'was' : 'were'} not in the
          plan, for {money(unforeseen.usedMinor)}; the shelf had {unforeseen.parts === 1 ? 'it' : 'them'}.
        </p>
      )}
    </section>
  )
}
