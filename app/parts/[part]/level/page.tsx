import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { levelChanges } from '@/lib/db/level-change.ts'
import { partLevelStanding } from '@/lib/db/level-list.ts'
import { partLevelFacts } from '@/lib/db/level-proposal.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { sentence } from '@/lib/replenish/explain.ts'
import { leadTimeSays } from '@/lib/replenish/lead-time.ts'
import { settingsRead } from '@/lib/settings.ts'
import { Changes } from './changes.tsx'
import { HistoryPicture } from './history-picture.tsx'
import { Hold, Waiting } from './kept.tsx'
import { WhatIf } from './what-if.tsx'

export const metadata = { title: 'How many to keep' }

const CHANGES_SHOWN = 20

export default async function PartLevelPage({ params }: { params: Promise<{ part: string }> }) {
  const who = await signedIn()
  const partId = idOf((await params).part)
  const now = new Date()
  const { number, description, unit, level, demand, supplier, lead, settings, facts, choice, criticality } =
    await found(partLevelFacts(partId, todayIs(), now))
  const [standing, changes] = await Promise.all([
    partLevelStanding(partId, todayIs()),
    levelChanges(partId, CHANGES_SHOWN),
  ])
  const mayKeep = mayDo(who.roles, 'stock.level')
  const show = (quantity: number) => quantityFormat(quantity, unit)
  return (
    <main className="page stack loose" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.part(partId)} prefetch={false}>
              <span className="number">{number}</span> {description}
            </Link>
          </p>
          <h1>How many to keep, and why</h1>
        </div>
        <Link className="button" href={paths.partLedger(partId)} prefetch={false}>
          Ledger
        </Link>
      </header>
      <section className="stack tight" aria-labelledby="kept">
        <h2 id="kept">Kept now</h2>
        {level ? (
          <p>
            Reorder point {show(level.reorderPoint)}, order up to {show(level.orderUpTo)}.{' '}
            <span className="soft">{sentence(level.reason)}</span>
          </p>
        ) : (
          <p className="soft">No level yet.</p>
        )}
        <Waiting standing={standing} unit={unit} />
        <Hold partId={partId} hold={standing.hold} mayKeep={mayKeep} />
      </section>
      <WhatIf
        partId={partId}
        unit={unit}
        facts={facts}
        choice={choice}
        kept={level}
        criticality={criticality}
        settings={settings}
        currency={settingsRead().currency}
        mayKeep={mayKeep}
        formKey={freshKey()}
      />
      <section className="stack tight" aria-labelledby="used">
        <h2 id="used">What was used</h2>
        <HistoryPicture months={demand.months} unit={unit} />
        <dl className="facts">
          <dt>Lead time</dt>
          <dd>
            {supplier === null
              ? `${counted(lead.statedDays, 'day')}, for nobody sells it yet`
              : `${supplier}: ${leadTimeSays(lead)}`}
          </dd>
          <dt>Machines that have it</dt>
          <dd>{demand.machines === 0 ? 'in no parts list of a machine of ours' : demand.machines}</dd>
          {demand.parts.length > 1 ? (
            <>
              <dt>Counted in</dt>
              <dd>
                {demand.parts.slice(1).map((part, at) => (
                  <span key={part.partId}>
                    {at > 0 ? ', ' : ''}
                    <Link href={paths.part(part.partId)} prefetch={false}>
                      a part that it replaces
                    </Link>
                    {part.ratio === 1 ? '' : `, ${part.ratio} for one`}
                  </span>
                ))}
              </dd>
            </>
          ) : null}
        </dl>
      </section>
      <Changes changes={changes} unit={unit} />
    </main>
  )
}
