import Link from 'next/link'
import { BatchFields } from '@/app/_parts/batch-fields.tsx'
import { BatchName } from '@/app/_parts/batch-name.tsx'
import { found, idOf } from '@/app/_parts/found.ts'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { setPartRule, sortBatches } from '@/app/shelf/batches/actions.ts'
import { type BatchLine, batchesLately, partBatches, partRuleOwn } from '@/lib/db/batch-read.ts'
import { partCard } from '@/lib/db/part.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { batchesKept, batchSays } from '@/lib/stock/batch.ts'

export const metadata = { title: 'Batches of a part' }

export default async function PartBatchesPage({ params }: { params: Promise<{ part: string }> }) {
  const who = await signedIn()
  const part = await found(partCard(idOf((await params).part)))
  const [{ rule, lines }, own, known] = await Promise.all([
    partBatches(part.id),
    partRuleOwn(part.id),
    batchesLately(part.id),
  ])
  const today = todayIs()
  const binIds = [...new Set(lines.map((line) => line.binId))]
  const gone = known.filter((batch) => !lines.some((line) => line.id === batch.id))
  return (
    <main className="page narrow stack loose" id="page">
      <header>
        <p className="over">
          <Link href={paths.part(part.id)} prefetch={false}>
            {part.maker} {part.number}
          </Link>{' '}
          {part.description}
        </p>
        <h1>Batches</h1>
      </header>
      {binIds.length === 0 ? (
        <p className="empty">
          {batchesKept(rule)
            ? 'None is on hand. The batch is asked for when the part is received.'
            : 'Its batches are not kept. Say below that they are, or for its whole class under Settings.'}
        </p>
      ) : (
        binIds.map((binId) => {
          const here = lines.filter((line) => line.binId === binId)
          return (
            <section key={binId} className="stack tight" aria-labelledby={`bin-${binId}`}>
              <h2 id={`bin-${binId}`}>
                <Link href={paths.bin(binId)} className="number" prefetch={false}>
                  {here[0]!.bin}
                </Link>
                , {here[0]!.store}
              </h2>
              <ul className="plain-list">
                {here.map((line) => (
                  <li key={line.id}>
                    <span className="strong">{quantityFormat(line.quantity, part.unit)}</span>{' '}
                    <BatchName batch={line} today={today} link />
                  </li>
                ))}
              </ul>
              {mayDo(who.roles, 'stock.count') && here[0]!.kind !== 'on-the-way' ? (
                <details>
                  <summary className="button quiet">
                    The packs say otherwise<span className="visually-hidden"> in {here[0]!.bin}</span>
                  </summary>
                  <Sort part={part} here={here} today={today} rule={rule} />
                </details>
              ) : null}
            </section>
          )
        })
      )}
      {gone.length > 0 ? (
        <section className="stack tight" aria-labelledby="gone">
          <h2 id="gone">Used up</h2>
          <ul className="plain-list">
            {gone.map((batch) => (
              <li key={batch.id}>
                <BatchName batch={batch} today="" link />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {mayDo(who.roles, 'stock.places') ? (
        <section className="stack tight" aria-labelledby="asked">
          <h2 id="asked">What is asked when it comes in</h2>
          <p className="soft">
            Its class says so under <Link href={paths.batchSettings()}>Batches and use-by dates</Link>; here for this
            part alone.
          </p>
          <ActionForm
            action={setPartRule}
            formKey={freshKey()}
            hidden={{ partId: part.id }}
            submit="Keep it so"
            submitClassName="button"
            aria-label="What is asked"
          >
            <AsClass name="asksBatch" label="Batch number" own={own.asksBatch} />
            <AsClass name="asksUseBy" label="Use-by date" own={own.asksUseBy} />
            <Field
              name="shelfLifeMonths"
              label="Usual life from receipt, months (may be left empty)"
              inputMode="numeric"
              className="input-number"
              autoComplete="off"
              defaultValue={own.shelfLifeMonths === null ? undefined : String(own.shelfLifeMonths)}
            />
          </ActionForm>
        </section>
      ) : null}
    </main>
  )
}

function AsClass({ name, label, own }: { name: string; label: string; own: boolean | null }) {
  return (
    <SelectField name={name} label={label} defaultValue={own === null ? 'class' : own ? 'yes' : 'no'}>
      <option value="class">As its class</option>
      <option value="yes">Asked for</option>
      <option value="no">Not asked for</option>
    </SelectField>
  )
}

function Sort(props: {
  part: { id: number; number: string; unit: Parameters<typeof quantityInput>[1] }
  here: readonly BatchLine[]
  today: string
  rule: Parameters<typeof batchesKept>[0]
}) {
  const { part, here, today, rule } = props
  const sum = here.reduce((all, line) => all + line.quantity, 0)
  return (
    <ActionForm
      action={sortBatches}
      formKey={freshKey()}
      hidden={{ partId: part.id, binId: here[0]!.binId, unit: part.unit }}
      submit="Keep it so"
      submitClassName="button"
      aria-label={`Batches in ${here[0]!.bin}`}
    >
      <p className="soft">
        How many of each batch lie there, {unitSays(part.unit)}; together {quantityFormat(sum, part.unit)}. When there
        are more or fewer, count the bin first.
      </p>
      {here.map((line) => (
        <Field
          key={line.id}
          name={`lot.${line.id}`}
          label={batchSays(line)}
          inputMode="decimal"
          className="input-number"
          autoComplete="off"
          defaultValue={quantityInput(line.quantity, part.unit)}
        />
      ))}
      <fieldset className="stack tight">
        <legend className="strong">One that the books do not have here</legend>
        <BatchFields rule={{ ...rule, shelfLifeMonths: null }} of={part.number} partId={part.id} today={today} />
        <Field
          name="moreQuantity"
          label={`How many of it, ${unitSays(part.unit)}`}
          inputMode="decimal"
          className="input-number"
          autoComplete="off"
        />
      </fieldset>
    </ActionForm>
  )
}
