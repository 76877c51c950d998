import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { type AlternativeView, alternativesOf } from '@/lib/db/alternative.ts'
import { type Chain, type ChainStep, supersessionChain } from '@/lib/db/supersession.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** What replaced what up to what can be ordered now, and the approved alternatives. */
export async function Instead({ partId, unit, mayEdit }: { partId: number; unit: StockUnit; mayEdit: boolean }) {
  const [chain, alternatives] = await Promise.all([supersessionChain(partId), alternativesOf([partId])])
  const others = alternatives.get(partId) ?? []
  if (chain.steps.length === 1 && chain.others.length === 0 && others.length === 0 && !mayEdit) return null
  return (
    <section className="stack tight" aria-labelledby="instead">
      <h2 id="instead">In its place</h2>
      {chain.steps.length > 1 || chain.others.length > 0 ? (
        <ChainShown chain={chain} />
      ) : (
        <p className="soft">Nothing replaces it, and it replaces nothing.</p>
      )}
      {others.length > 0 ? (
        <>
          <h3>Alternatives</h3>
          <ul className="plain-list stack tight">
            {others.map((other) => (
              <li key={other.id}>
                <Alternative other={other} unit={unit} />
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {mayEdit ? (
        <p>
          <Link className="button quiet" href={paths.partInstead(partId)} prefetch={false}>
            What replaces it, alternatives
          </Link>
        </p>
      ) : null}
    </section>
  )
}

export function ChainShown({ chain }: { chain: Chain }) {
  const end = chain.steps.at(-1)!
  const own = chain.steps[chain.at]!
  return (
    <>
      <ol className="plain-list stack tight">
        {chain.steps.map((step, at) => (
          <li key={step.partId} aria-current={at === chain.at || undefined}>
            {step.link ? <span className="soft">{linkSays(step)} </span> : null}
            {at === chain.at ? (
              <strong className="number">{step.number}</strong>
            ) : (
              <Link href={paths.part(step.partId)} className="number" prefetch={false}>
                {step.number}
              </Link>
            )}
            : {stockSays(step, at, chain)}
            {step.link?.note ? <span className="soft small"> {step.link.note}.</span> : null}
          </li>
        ))}
      </ol>
      {chain.others.length > 0 ? (
        <p className="small soft">
          Also in this chain:{' '}
          {chain.others.map((other, at) => (
            <span key={other.partId}>
              {at > 0 ? ', ' : ''}
              <Link href={paths.part(other.partId)} prefetch={false}>
                {other.number}
              </Link>{' '}
              ({other.available} free)
            </span>
          ))}
        </p>
      ) : null}
      {end.discontinuedOn !== null ? (
        <p className="strong">{end.number} at the end of the chain is no longer made: nothing can be ordered.</p>
      ) : end.partId === own.partId ? (
        <p>This is the one to order now.</p>
      ) : (
        <p className="strong">
          To be ordered as{' '}
          <Link href={paths.part(end.partId)} prefetch={false}>
            {end.number}
          </Link>
          {own.ratioToEnd > 1 ? `, ${own.ratioToEnd} for one` : ''}.
        </p>
      )}
    </>
  )
}

function linkSays({ link }: ChainStep): string {
  const many = link!.ratio > 1 ? `, ${link!.ratio} for one` : ''
  return link!.interchange === 'both-ways'
    ? `↔ replaced by (either fits${many})`
    : `→ replaced by (new fits for old, not back${many})`
}

/** What lies on the shelf of it, and what an old one still serves. */
function stockSays(step: ChainStep, at: number, chain: Chain): string {
  const unit = step.unit as StockUnit
  const free = `${quantityFormat(Math.max(0, step.stock.available), unit)} free of ${quantityFormat(step.stock.onHand, unit)} on shelf`
  const next = chain.steps[at + 1]
  if (!next?.link || step.stock.onHand === 0) return step.stock.onHand === 0 ? 'none on shelf' : free
  return next.link.interchange === 'both-ways'
    ? `${free}, serves wherever ${next.number} is wanted`
    : `${free}, serves only where ${step.number} itself is wanted`
}

export function Alternative({ other, unit }: { other: AlternativeView; unit: StockUnit }) {
  return (
    <p>
      <Link href={paths.part(other.partId)} className="number" prefetch={false}>
        {other.number}
      </Link>{' '}
      {other.description}, {other.maker}: {quantityFormat(other.available, unit)} free.{' '}
      {other.bothWays
        ? 'Either in place of either.'
        : other.serves
          ? 'In place of this one, not back.'
          : 'This one may stand in for it, not back.'}{' '}
      <span className="soft small">
        {other.reason}. Approved by {other.approvedBy}, <When at={other.approvedAt} />
        {other.withdrawn ? (
          <>
            ; withdrawn by {other.withdrawn.by}, <When at={other.withdrawn.at} />
          </>
        ) : null}
        .
      </span>
    </p>
  )
}
