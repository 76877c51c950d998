import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { partPacks } from '@/lib/db/part-pack.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { offPack, setPack } from './pack-actions.ts'

/** How the part comes packed, so that a delivery can be counted in boxes, cartridges or cans. */
export async function Packs({ part, mayEdit }: { part: PartCard; mayEdit: boolean }) {
  const packs = (await partPacks([part.id])).get(part.id) ?? []
  if (packs.length === 0 && !mayEdit) return null
  return (
    <section className="stack tight" aria-labelledby="packs">
      <h2 id="packs">Comes in</h2>
      {packs.length === 0 ? <p className="soft">Counted in {unitSays(part.unit)} only.</p> : null}
      {packs.length > 0 ? (
        <ul className="plain-list">
          {packs.map((pack) => (
            <li key={pack.id} className="row spread">
              <span>
                {pack.name}: {quantityFormat(pack.quantity, part.unit)}
              </span>
              {mayEdit ? (
                <ActionForm
                  action={offPack}
                  formKey={freshKey()}
                  hidden={{ packId: pack.id }}
                  submit="Take off"
                  submitClassName="button quiet"
                  aria-label={`${part.number} no longer comes in ${pack.name}`}
                />
              ) : null}
            </li>
          ))}
        </ul>
      ) : null}
      {mayEdit ? (
        <details>
          <summary className="button quiet">Add a pack</summary>
          <ActionForm
            action={setPack}
            formKey={freshKey()}
            hidden={{ partId: part.id, unit: part.unit }}
            submit="Save"
            submitClassName="button"
            aria-label={`How ${part.number} comes packed`}
          >
            <Field
              name="name"
              label="What it comes in"
              hint="For example: box, cartridge, can."
              maxLength={40}
              autoComplete="off"
            />
            <Field
              name="quantity"
              label={`In one of them, ${unitSays(part.unit)}`}
              className="input-number"
              inputMode={part.unit === 'each' ? 'numeric' : 'decimal'}
              autoComplete="off"
            />
          </ActionForm>
        </details>
      ) : null}
    </section>
  )
}
