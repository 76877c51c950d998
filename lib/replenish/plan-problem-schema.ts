import { z } from 'zod'
import {
  PlanAlternative,
  PlanFixed,
  PlanForbidden,
  PlanKit,
  PlanNeed,
  PlanOffer,
  PlanPart,
  PlanProblem,
  PlanSupersession,
  PlanSupplier,
} from './plan-problem.ts'

const ITEMS: Record<string, z.ZodType> = {
  parts: PlanPart,
  needs: PlanNeed,
  suppliers: PlanSupplier,
  offers: PlanOffer,
  kits: PlanKit,
  supersessions: PlanSupersession,
  alternatives: PlanAlternative,
  fixed: PlanFixed,
  forbidden: PlanForbidden,
}

/** The problem file as JSON Schema 2020-12, of the same shapes by which it is read: `docs/order-plan.schema.json`. */
export function planProblemSchema(): Record<string, unknown> {
  // The file is read item by item, so that one wrong line does not take the others with it; a schema says the items at once.
  const whole = PlanProblem.extend(
    Object.fromEntries(Object.entries(ITEMS).map(([name, item]) => [name, z.array(item).max(200_000).default([])])),
  )
  const { $schema, ...rest } = z.toJSONSchema(whole, { io: 'input', target: 'draft-2020-12' })
  return {
    $schema,
    title: 'Problem of cotterbook order-plan',
    description:
      'Money in minor units of the currency; quantities in pieces, or thousandths of a litre, kilogram or metre; prices for a whole stock unit; names hold no control characters.',
    ...rest,
  }
}
