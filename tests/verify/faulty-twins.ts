/** One fault each: what happened to the file, and the check that must find it, in the own proof and in the second opinion. */
export interface Twin {
  says: string
  sql: string
  own: string
  /** Null where plain SQL cannot know (the folding of names), or the file may be older than the table. */
  second: string | null
  /** What the sentence must name, so that a person finds the place. */
  names: RegExp
}

/** After this the guards stand again; the fault is in the rows only, but for the last ones. */
export const TWINS: readonly Twin[] = [
  {
    says: 'a balance that nobody booked is found',
    sql: 'UPDATE Balance SET quantity = quantity + 1 WHERE partId = 2;',
    own: 'balances are the sum of their movements',
    second: 'balances are the sum of their movements',
    names: /part 2 in bin 2/,
  },
  {
    says: 'a balance that was taken away is found',
    sql: 'DELETE FROM Balance WHERE partId = 2;',
    own: 'balances are the sum of their movements',
    second: 'balances are the sum of their movements',
    names: /part 2 in bin 2/,
  },
  {
    says: 'a shelf below zero is found',
    sql: 'UPDATE Balance SET quantity = -1 WHERE partId = 2;',
    own: 'nothing is below zero',
    second: 'nothing is below zero',
    names: /part 2 in bin 2 stands at -1/,
  },
  {
    says: 'a part that is worth more than its movements say is found',
    sql: 'UPDATE PartValue SET valueMinor = valueMinor + 1 WHERE partId = 2;',
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /part 2: kept (are )?3 worth 1351, .* 3 worth 1350/,
  },
  {
    says: 'a part of which more is kept than its movements say is found',
    sql: 'UPDATE PartValue SET quantity = 4 WHERE partId = 2;',
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /part 2: kept (are )?4 worth 1350/,
  },
  {
    says: 'a part whose value was taken away is found',
    sql: 'DELETE FROM PartValue WHERE partId = 2;',
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /part 2: .*3 worth 1350/,
  },
  {
    says: 'a movement whose value was changed is found',
    sql: 'UPDATE Movement SET valueMinor = 1300 WHERE partId = 2;',
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /part 2: .*3 worth 1300/,
  },
  {
    says: 'a transfer that makes stock dearer is found',
    sql: `UPDATE Movement SET valueMinor = 9 WHERE kind = 'transfer-in';`,
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /\(transfer-in\) changes the value by 9/,
  },
  {
    says: 'a movement without a value is found',
    sql: 'UPDATE Movement SET valueMinor = NULL WHERE partId = 2;',
    own: 'parts are worth what their movements say',
    second: 'parts are worth what their movements say',
    names: /movement \d+ says nothing of its value/,
  },
  {
    says: 'a batch of which more lies there than its movements say is found',
    sql: 'UPDATE BatchBalance SET quantity = quantity + 1;',
    own: 'batches are the sum of their movements',
    second: 'batches are the sum of their movements',
    names: /batch 1 in bin 1: kept (are )?4, .* 3/,
  },
  {
    says: 'a changed movement breaks the running balance',
    sql: 'UPDATE Movement SET quantity = 5 WHERE id = 1;',
    own: 'ledger follows',
    second: 'ledger follows',
    names: /movement 1 /,
  },
  {
    says: 'a deleted movement breaks the running balance of the next one',
    sql: 'DELETE FROM Movement WHERE id = 1;',
    own: 'ledger follows',
    second: 'ledger follows',
    names: /movement 3 /,
  },
  {
    says: 'a take that puts in is found',
    sql: `UPDATE Movement SET kind = 'receive' WHERE id = 5;`,
    own: 'movements go the right way',
    second: 'ledger follows',
    names: /movement 5 \(receive\) moves -2/,
  },
  {
    says: 'a reversal that undoes another movement is found',
    sql: 'UPDATE Movement SET reversesId = 1 WHERE id = 6;',
    own: 'ledger follows',
    second: 'a reversal undoes what it names',
    names: /reversal 6 does not undo movement 1/,
  },
  {
    says: 'half a transfer is found',
    sql: `UPDATE Movement SET kind = 'receive' WHERE kind = 'transfer-in';`,
    own: 'movements go the right way',
    second: 'a transfer puts down what it took',
    names: /of part 1.*-1 over/,
  },
  {
    says: 'a movement without its write is found',
    sql: 'DELETE FROM "Write" WHERE key = (SELECT writeKey FROM Movement WHERE id = 2);',
    own: 'every movement belongs to one write',
    second: 'every movement belongs to one write',
    names: /movement 2 /,
  },
  {
    says: 'the same line of one write booked twice is found',
    sql: `DROP INDEX "Movement_writeKey_writeLine_key";
      UPDATE Movement SET writeKey = (SELECT writeKey FROM Movement WHERE id = 1), writeLine = 0 WHERE id = 2;`,
    own: 'every movement belongs to one write',
    second: 'every movement belongs to one write',
    names: /line 0 2 times/,
  },
  {
    says: 'a job that says more was taken than left the shelf is found',
    sql: 'UPDATE JobNeed SET taken = 3;',
    own: 'jobs have what the ledger says',
    second: 'jobs have what the ledger says',
    names: /job line 1 says 3 taken, its movements (add up to )?2/,
  },
  {
    says: 'an order that says more came than was received is found',
    sql: 'UPDATE PurchaseOrderLine SET received = 7;',
    own: 'orders received what the ledger says',
    second: 'orders received what the ledger says',
    names: /order line 1 says 7 received, its movements (add up to )?6/,
  },
  {
    says: 'an order received beyond what was ordered is found',
    sql: 'UPDATE PurchaseOrderLine SET cancelled = 5;',
    own: 'nothing is below zero',
    second: 'nothing is below zero',
    names: /order line 1/,
  },
  {
    says: 'parts that replace each other in a ring are found',
    sql: `INSERT INTO Supersession (oldPartId, newPartId, ratio, interchange, createdAt) VALUES (1, 3, 1, 'one-way', '2026-10-01T00:00:00.000Z');`,
    own: 'replaced parts lead to an end',
    second: 'replaced parts lead to an end',
    names: /1/,
  },
  {
    says: 'a closed job without its entry is found',
    sql: 'DELETE FROM ServiceBookEntry;',
    own: 'service book is as written',
    second: 'closed jobs stand in the service book',
    names: /job 1 is closed/,
  },
  {
    says: 'a bent service book entry is found',
    sql: `UPDATE ServiceBookEntry SET content = replace(content, 'Spring renewed', 'Nothing done');`,
    own: 'service book is as written',
    second: 'service book is as written',
    names: /entry 1 does not fit its digest/,
  },
  {
    says: 'a part number that no longer fits its key is found',
    sql: `UPDATE Part SET number = 'TX-1' WHERE id = 2;`,
    own: 'names are unique',
    second: null,
    names: /part 2 .*(same name|key)/,
  },
  {
    says: 'the same part number twice is found',
    sql: `DROP INDEX "Part_makerKey_numberKey_key"; UPDATE Part SET number = 'tx 1', numberKey = 'tx1' WHERE id = 2;`,
    own: 'names are unique',
    second: 'part numbers are unique',
    names: /tx.?1/,
  },
  {
    says: 'a step of a strip order that was saved and is gone is found',
    sql: 'DELETE FROM StripEdge;',
    own: 'strip orders are followed as saved',
    second: null,
    names: /figure 1: 1 before 2 was saved/,
  },
  {
    says: 'a step of a strip order that nobody saved is found',
    sql: `UPDATE StripOrder SET content = '{"steps":[],"edges":[]}';`,
    own: 'strip orders are followed as saved',
    second: null,
    names: /figure 1: 1 before 2 is followed and was never saved/,
  },
  {
    says: 'a figure that is released by another list of tests than the one saved last is found',
    sql: `UPDATE Figure SET tests = '[]';`,
    own: 'tests of figures are those saved',
    second: null,
    names: /figure 1: its tests are not the list that was saved last/,
  },
  {
    says: 'a machine whose model is gone is found',
    sql: 'UPDATE Machine SET modelId = 99 WHERE id = 2;',
    own: 'references lead somewhere',
    second: 'references lead somewhere',
    names: /Machine/,
  },
]
