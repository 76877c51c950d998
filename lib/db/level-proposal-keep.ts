import { forecastKept } from '../replenish/forecast-kept.ts'
import type { RunProposal } from '../replenish/run-proposal.ts'
import { inTransaction } from './transaction.ts'

/**
 * Keeps what a reckoning says of some parts in place of what the one before said. What somebody refused stays refused as long as the
 * same is proposed.
 */
export function proposalsKeep(runId: number, proposals: readonly RunProposal[]): Promise<number> {
  const json = JSON.stringify(
    proposals.map(({ partId, state, method, before, after, free, moneyMinor, reason, forecast }) => [
      partId,
      state,
      method,
      before?.reorderPoint ?? null,
      before?.orderUpTo ?? null,
      after.reorderPoint,
      after.orderUpTo,
      free.reorderPoint,
      free.orderUpTo,
      moneyMinor,
      Math.abs(moneyMinor),
      reason,
      forecastKept(forecast),
    ]),
  )
  return inTransaction(
    (tx) => tx.$executeRaw`
      INSERT INTO "LevelProposal" ("partId", "runId", "state", "method", "oldReorderPoint", "oldOrderUpTo", "reorderPoint",
        "orderUpTo", "freeReorderPoint", "freeOrderUpTo", "moneyMinor", "weightMinor", "reason", "forecast")
      SELECT j.value->>0, ${runId}, j.value->>1, j.value->>2, j.value->>3, j.value->>4, j.value->>5, j.value->>6, j.value->>7,
        j.value->>8, j.value->>9, j.value->>10, j.value->>11, j.value->>12
      FROM json_each(${json}) j WHERE true
      ON CONFLICT ("partId") DO UPDATE SET
        "state" = CASE WHEN "state" = 'refused' AND excluded."state" = 'change' AND "reorderPoint" = excluded."reorderPoint"
          AND "orderUpTo" = excluded."orderUpTo" THEN 'refused' ELSE excluded."state" END,
        "decidedById" = CASE WHEN "state" = 'refused' AND "reorderPoint" = excluded."reorderPoint"
          AND "orderUpTo" = excluded."orderUpTo" THEN "decidedById" END,
        "decidedAt" = CASE WHEN "state" = 'refused' AND "reorderPoint" = excluded."reorderPoint"
          AND "orderUpTo" = excluded."orderUpTo" THEN "decidedAt" END,
        "decidedWords" = CASE WHEN "state" = 'refused' AND "reorderPoint" = excluded."reorderPoint"
          AND "orderUpTo" = excluded."orderUpTo" THEN "decidedWords" END,
        "runId" = excluded."runId", "method" = excluded."method", "oldReorderPoint" = excluded."oldReorderPoint",
        "oldOrderUpTo" = excluded."oldOrderUpTo", "reorderPoint" = excluded."reorderPoint", "orderUpTo" = excluded."orderUpTo",
        "freeReorderPoint" = excluded."freeReorderPoint", "freeOrderUpTo" = excluded."freeOrderUpTo",
        "moneyMinor" = excluded."moneyMinor", "weightMinor" = excluded."weightMinor", "reason" = excluded."reason",
        "forecast" = excluded."forecast"`,
  )
}

/** Parts that the run no longer speaks of: replaced, no longer made, on no machine any more. */
export function proposalsDrop(runId: number): Promise<number> {
  return inTransaction((tx) => tx.$executeRaw`DELETE FROM "LevelProposal" WHERE "runId" < ${runId}`)
}
