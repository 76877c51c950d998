import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import type { PriceOn } from '../price/offer-price.ts'
import type { LeadTime } from './lead-time.ts'
import { type Criticality, type LevelSettings, serviceAim } from './level-settings.ts'
import type { ProposalChoice, ProposalFacts } from './proposal.ts'

export interface PartFactsRead {
  unit: StockUnit
  criticality: Criticality
  costMinor: number | null
  /** `prices` by quantity in the workshop's money; null where its currency has no rate, so that the last cost stands in. */
  offer: { prices: PriceOn | null; pack: number; minimum: number } | null
  lead: LeadTime
  perPlace: number | null
  shelfLifeMonths: number | null
}

/** What a level is reckoned from, and under what it is offered first: the same on the screen of a part and in a reckoning of all. */
export function proposalOf(
  part: PartFactsRead,
  past: Pick<ProposalFacts, 'months' | 'takings' | 'forecast'>,
  settings: LevelSettings,
): { facts: ProposalFacts; choice: ProposalChoice } {
  const { unit, criticality, costMinor, offer, lead, perPlace, shelfLifeMonths } = part
  return {
    facts: {
      scale: quantityScale(unit),
      ...past,
      perPlace,
      leadSdDays: lead.sdDays,
      pack: offer?.pack ?? 1,
      minimum: offer?.minimum ?? 1,
      prices: offer?.prices ?? null,
      shelfLifeYears: shelfLifeMonths === null ? null : shelfLifeMonths / 12,
      settings,
      criticality,
    },
    choice: {
      aim: serviceAim(settings, criticality),
      leadDays: Math.round(lead.meanDays),
      priceMinor: offer?.prices?.breaks[0]?.priceMinor ?? costMinor ?? 0,
      withPlanned: true,
    },
  }
}
