import Link from 'next/link'
import { StoreSelect } from '@/app/_parts/store-select.tsx'
import { paths } from '@/app/paths.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'
import { type MovementQuestion, movementAsksAll } from '@/lib/stock/movement-search.ts'

/** Narrows the ledger; an ordinary form, so the address holds what was asked and can be kept. */
export function MovementFilter(props: {
  question: MovementQuestion
  stores: readonly { id: number; name: string }[]
  people: readonly { id: string; name: string }[]
}) {
  const { question, stores, people } = props
  return (
    <search>
      <form action={paths.movements()} className="row end">
        {question.partId === null ? (
          <div className="field">
            <label htmlFor="moved-q">Part, cost centre or reason</label>
            <input id="moved-q" name="q" type="search" defaultValue={question.words} maxLength={200} />
          </div>
        ) : (
          <input type="hidden" name="part" value={question.partId} />
        )}
        <div className="field">
          <label htmlFor="moved-kind">What</label>
          <select id="moved-kind" name="kind" defaultValue={question.kind ?? ''}>
            <option value="">Everything</option>
            {Object.entries(MOVEMENT_KINDS).map(([kind, { says }]) => (
              <option key={kind} value={kind}>
                {says}
              </option>
            ))}
          </select>
        </div>
        <StoreSelect id="moved-store" stores={stores} storeId={question.storeId} />
        <div className="field">
          <label htmlFor="moved-person">Who</label>
          <select id="moved-person" name="person" defaultValue={question.personId ?? ''}>
            <option value="">Everybody</option>
            {people.map((person) => (
              <option key={person.id} value={person.id}>
                {person.name}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="moved-job">Job</label>
          <input
            id="moved-job"
            name="job"
            inputMode="numeric"
            className="input-number"
            autoComplete="off"
            defaultValue={question.jobNumber ?? ''}
          />
        </div>
        <div className="field">
          <label htmlFor="moved-from">From</label>
          <input id="moved-from" name="from" type="date" defaultValue={question.from ?? ''} />
        </div>
        <div className="field">
          <label htmlFor="moved-to">to</label>
          <input id="moved-to" name="to" type="date" defaultValue={question.to ?? ''} />
        </div>
        <button type="submit" className="button">
          Show
        </button>
        {movementAsksAll(question) ? null : (
          <Link className="button quiet" href={paths.movements()} prefetch={false}>
            Show all
          </Link>
        )}
      </form>
    </search>
  )
}
