import { paths } from '@/app/paths.ts'
import { DEAD_ADVICE, DEAD_REASONS } from '@/lib/stock/dead.ts'
import type { DeadQuestion } from './question.ts'

/** What counts as dead and as too much, and which of it is shown; an ordinary form, so the address can be kept. */
export function DeadFilter({ question, stores }: { question: DeadQuestion; stores: readonly { name: string }[] }) {
  return (
    <search className="no-print">
      <form action={paths.deadStock()} className="row end">
        <div className="field">
          <label htmlFor="dead-months">Not moved for months</label>
          <input
            id="dead-months"
            name="months"
            className="input-number"
            type="number"
            min={1}
            max={120}
            defaultValue={question.months}
          />
        </div>
        <div className="field">
          <label htmlFor="dead-years">More than years of use</label>
          <input
            id="dead-years"
            name="years"
            className="input-number"
            type="number"
            min={1}
            max={20}
            defaultValue={question.years}
          />
        </div>
        <Choice name="why" label="Why" all="Any reason" chosen={question.why ?? ''} options={DEAD_REASONS} />
        <Choice name="advice" label="What to do" all="Anything" chosen={question.advice ?? ''} options={DEAD_ADVICE} />
        {stores.length > 1 ? (
          <Choice
            name="store"
            label="Store"
            all="All stores"
            chosen={question.store}
            options={Object.fromEntries(stores.map(({ name }) => [name, name]))}
          />
        ) : null}
        <button type="submit" className="button">
          Show
        </button>
      </form>
    </search>
  )
}

interface ChoiceOf {
  name: string
  label: string
  all: string
  chosen: string
  options: Readonly<Record<string, string>>
}

function Choice({ name, label, all, chosen, options }: ChoiceOf) {
  return (
    <div className="field">
      <label htmlFor={`dead-${name}`}>{label}</label>
      <select id={`dead-${name}`} name={name} defaultValue={chosen}>
        <option value="">{all}</option>
        {Object.entries(options).map(([value, says]) => (
          <option key={value} value={value}>
            {says}
          </option>
        ))}
      </select>
    </div>
  )
}
