import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { ItemOfModel, ScheduleView } from '@/lib/db/service-schedule.ts'
import { addAct, addItem, addPart } from './actions.ts'

/** Puts something on a service: an item of a figure, a part by its number, or something to do. */
export function LineForms(props: {
  schedule: ScheduleView
  modelId: number
  items: readonly ItemOfModel[]
  /** What is looked for among the parts; null where the search belongs to another service. */
  search: string | null
}) {
  const { schedule, modelId, items, search } = props
  const hidden = { scheduleId: schedule.id }
  const figures = [...new Map(items.map((one) => [one.figureId, one.figure])).entries()]
  const kind = (
    <SelectField name="kind" label="It is" defaultValue="always">
      <option value="always">renewed always</option>
      <option value="on-condition">looked at, renewed on condition</option>
    </SelectField>
  )
  return (
    <details open={search !== null}>
      <summary className="button">
        Put something on<span className="visually-hidden"> the {schedule.name}</span>
      </summary>
      <div className="stack loose">
        {items.length > 0 ? (
          <ActionForm
            action={addItem}
            formKey={freshKey()}
            submit="Put it on"
            submitClassName="button"
            aria-label={`Item of a figure on the ${schedule.name}`}
            hidden={hidden}
          >
            <SelectField name="place" label="Item of a figure" hint="At all its places on the machine.">
              {figures.map(([figureId, title]) => (
                <optgroup key={figureId} label={title}>
                  {items
                    .filter((one) => one.figureId === figureId)
                    .map((one) => (
                      <option key={one.item} value={`${figureId}/${one.item}`}>
                        {one.item} {one.description}
                      </option>
                    ))}
                </optgroup>
              ))}
            </SelectField>
            {kind}
          </ActionForm>
        ) : null}
        <ActionForm
          action={addAct}
          formKey={freshKey()}
          submit="Put it on"
          submitClassName="button"
          aria-label={`Something to do on the ${schedule.name}`}
          hidden={hidden}
        >
          <Field name="text" label="Something to do" hint="Grease the camshafts, set the brake, check the hoses." />
        </ActionForm>
        <PartPicker
          query={search ?? ''}
          action={paths.modelServices(modelId)}
          keeps={{ schedule: schedule.id }}
          pick={(part) => (
            <ActionForm
              action={addPart}
              formKey={freshKey()}
              submit="Put it on"
              submitClassName="button"
              hidden={{ ...hidden, partId: part.id }}
            >
              {kind}
              <QuantityField name="quantity" label="Quantity" unit={part.unit} />
            </ActionForm>
          )}
        />
      </div>
    </details>
  )
}
