import Link from 'next/link'
import { BinField } from '@/app/_parts/bin-field.tsx'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { offPartBin, setPartBin } from '@/app/settings/stores/actions.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { partBins } from '@/lib/db/place-read.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'

/** Where the part belongs: its fixed bin, and bins for what does not fit there. */
export async function Belongs({ part, mayChange }: { part: PartCard; mayChange: boolean }) {
  const [belongs, bins] = await Promise.all([partBins(part.id), mayChange ? binsList() : []])
  if (belongs.length === 0 && !mayChange) return null
  return (
    <section className="stack tight" aria-labelledby="belongs">
      <h3 id="belongs">Belongs in</h3>
      {belongs.length === 0 ? (
        <p className="soft">No fixed bin.</p>
      ) : (
        <ul className="plain-list">
          {belongs.map((bin) => (
            <li key={bin.binId} className="row spread">
              <span>
                <Link href={paths.bin(bin.binId)} className="number" prefetch={false}>
                  {bin.bin}
                </Link>
                , {bin.store}: {bin.kind}
              </span>
              {mayChange ? (
                <ActionForm
                  action={offPartBin}
                  formKey={freshKey()}
                  hidden={{ partId: part.id, binId: bin.binId }}
                  submit="Take off"
                  submitClassName="button quiet"
                  aria-label={`${part.number} no longer belongs in ${bin.bin}`}
                />
              ) : null}
            </li>
          ))}
        </ul>
      )}
      {mayChange && bins.length > 0 ? (
        <details>
          <summary className="button quiet">Say where it belongs</summary>
          <ActionForm
            action={setPartBin}
            formKey={freshKey()}
            hidden={{ partId: part.id }}
            submit="Save"
            submitClassName="button"
            aria-label={`Where ${part.number} belongs`}
          >
            <BinField name="binId" label="Bin" bins={bins.filter((bin) => BIN_KINDS[bin.kind].free)} />
            <SelectField name="kind" label="As" defaultValue="fixed">
              <option value="fixed">Fixed bin</option>
              <option value="overflow">Overflow: what does not fit</option>
            </SelectField>
          </ActionForm>
        </details>
      ) : null}
    </section>
  )
}
