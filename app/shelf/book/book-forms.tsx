import { BatchBackField, BatchOutField } from '@/app/_parts/batch-fields.tsx'
import { BinField } from '@/app/_parts/bin-field.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { batchesLately, partBatches } from '@/lib/db/batch-read.ts'
import { forWhatChoices } from '@/lib/db/for-what.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { putAwayOf } from '@/lib/db/put-away.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { PUT_AWAY_WHY } from '@/lib/stock/put-away.ts'
import { backOnShelf, scrap, take } from '../actions.ts'

interface Booking {
  part: PartCard
  /** The bin that the person came from. */
  binId: number | undefined
}

/** The bins where the part lies, best first; `free` leaves out those that nobody takes from. */
function lies({ part }: Booking, free: boolean) {
  return part.bins
    .filter((bin) => bin.kind !== 'on-the-way' && (!free || BIN_KINDS[bin.kind].free))
    .map((bin) => ({
      id: bin.binId,
      code: bin.bin,
      store: bin.store,
      says: `${quantityFormat(bin.quantity, part.unit)}${BIN_KINDS[bin.kind].free ? '' : `, ${BIN_KINDS[bin.kind].lies}`}`,
    }))
}

export async function TakeForm(booking: Booking) {
  const { part, binId } = booking
  const bins = lies(booking, true)
  const { lines } = await partBatches(part.id)
  return (
    <ActionForm
      action={take}
      formKey={freshKey()}
      hidden={{ partId: part.id }}
      submit="Take from shelf"
      submitClassName="button primary big"
      aria-label={`Take ${part.number}`}
    >
      {bins.length === 0 ? <p className="empty">None is free to take now.</p> : null}
      <QuantityField name="quantity" label="Take" unit={part.unit} />
      <BinField
        name="binId"
        label="From bin"
        bins={bins}
        now={bins.map((bin) => ({ binId: bin.id, says: bin.says }))}
        binId={bins.some((bin) => bin.id === binId) ? binId : undefined}
      />
      <BatchOutField
        lots={lines.filter((line) => BIN_KINDS[line.kind].free)}
        unit={part.unit}
        today={todayIs()}
        use
        partId={part.id}
        of={part.number}
      />
      <ForWhatFields legend="What for" hint="Say at least one: a machine, a cost centre, a person, or a few words." />
    </ActionForm>
  )
}

export async function PutBackForm({ part, binId }: Booking) {
  const [bins, into, { rule }, known] = await Promise.all([
    binsList(),
    putAwayOf([part.id], null),
    partBatches(part.id),
    batchesLately(part.id),
  ])
  return (
    <ActionForm
      action={backOnShelf}
      formKey={freshKey()}
      hidden={{ partId: part.id }}
      submit="Put back on shelf"
      submitClassName="button primary big"
      aria-label={`Put ${part.number} back`}
    >
      <p className="soft">For what was taken without a job. What a job did not use is put back on that job.</p>
      <QuantityField name="quantity" label="Put back" unit={part.unit} />
      <BatchBackField rule={rule} known={known} />
      <BinField
        name="binId"
        label="Into bin"
        bins={bins}
        now={(into.get(part.id) ?? []).map((one) => ({ binId: one.binId, says: PUT_AWAY_WHY[one.why] }))}
        nowSays="Proposed"
        binId={binId}
      />
      <ForWhatFields legend="What it had been taken for" hint="Say at least one." />
    </ActionForm>
  )
}

export async function ScrapForm(booking: Booking) {
  const { part, binId } = booking
  const bins = lies(booking, false)
  const { lines } = await partBatches(part.id)
  return (
    <ActionForm
      action={scrap}
      formKey={freshKey()}
      hidden={{ partId: part.id }}
      submit="Scrap"
      submitClassName="button primary big"
      aria-label={`Scrap ${part.number}`}
    >
      <p className="caution">
        Oil, grease, filters, batteries and brake linings are no ordinary rubbish: follow the safety sheet and the local
        rules for waste.
      </p>
      <QuantityField name="quantity" label="Scrap" unit={part.unit} />
      <BinField
        name="binId"
        label="From bin"
        bins={bins}
        now={bins.map((bin) => ({ binId: bin.id, says: bin.says }))}
        binId={bins.some((bin) => bin.id === binId) ? binId : undefined}
      />
      <BatchOutField lots={lines} unit={part.unit} today={todayIs()} use={false} partId={part.id} of={part.number} />
      <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
    </ActionForm>
  )
}

/** What parts are for, where it is no job. */
async function ForWhatFields({ legend, hint }: { legend: string; hint: string }) {
  const { machines, people, centres } = await forWhatChoices()
  return (
    <fieldset className="stack">
      <legend className="strong">{legend}</legend>
      <p className="soft">{hint}</p>
      <SelectField name="machineId" label="Machine" defaultValue="">
        <option value="">None</option>
        {machines.map((machine) => (
          <option key={machine.id} value={machine.id}>
            {machine.says}
          </option>
        ))}
      </SelectField>
      <Field name="costCentre" label="Cost centre" maxLength={40} autoComplete="off" list="cost-centres" />
      <datalist id="cost-centres">
        {centres.map((centre) => (
          <option key={centre} value={centre} />
        ))}
      </datalist>
      <SelectField name="forPersonId" label="Person" defaultValue="">
        <option value="">Nobody in particular</option>
        {people.map((person) => (
          <option key={person.id} value={person.id}>
            {person.name}
          </option>
        ))}
      </SelectField>
      <Field name="reason" label="In words" maxLength={200} autoComplete="off" />
    </fieldset>
  )
}
