/**
 * The invariants as plain SQL, for a reader that shares no code with the one that writes: other driver, other arithmetic.
 * Each statement answers one row with a column `fault` for each thing that is wrong. A file of an earlier version may not have
 * the `table` yet: it has nothing to prove then.
 */
export const SECOND_OPINION: readonly { name: string; sql: string; table?: string }[] = [
  {
    name: 'balances are the sum of their movements',
    sql: `
      WITH summed AS (SELECT partId, binId, SUM(quantity) AS total FROM Movement GROUP BY partId, binId)
      SELECT 'part ' || s.partId || ' in bin ' || s.binId || ': balance ' || COALESCE(b.quantity, 'missing') || ', sum ' || s.total AS fault
      FROM summed s LEFT JOIN Balance b ON b.partId = s.partId AND b.binId = s.binId
      WHERE COALESCE(b.quantity, 0) <> s.total
      UNION ALL
      SELECT 'part ' || b.partId || ' in bin ' || b.binId || ': balance ' || b.quantity || ' without movements'
      FROM Balance b LEFT JOIN summed s ON s.partId = b.partId AND s.binId = b.binId
      WHERE s.partId IS NULL AND b.quantity <> 0`,
  },
  {
    name: 'parts are worth what their movements say',
    table: 'PartValue',
    sql: `
      WITH summed AS (SELECT partId, SUM(quantity) AS pieces, SUM(COALESCE(valueMinor, 0)) AS worth FROM Movement GROUP BY partId)
      SELECT 'part ' || s.partId || ': kept ' || COALESCE(v.quantity || ' worth ' || v.valueMinor, 'nothing')
        || ', sum ' || s.pieces || ' worth ' || s.worth AS fault
      FROM summed s LEFT JOIN PartValue v ON v.partId = s.partId
      WHERE COALESCE(v.quantity, 0) <> s.pieces OR COALESCE(v.valueMinor, 0) <> s.worth
      UNION ALL SELECT 'part ' || v.partId || ': kept ' || v.quantity || ' worth ' || v.valueMinor || ' without movements'
      FROM PartValue v LEFT JOIN summed s ON s.partId = v.partId
      WHERE s.partId IS NULL AND (v.quantity <> 0 OR v.valueMinor <> 0)
      UNION ALL SELECT 'part ' || partId || ': its movements add up to ' || pieces || ' worth ' || worth FROM summed
      WHERE worth < 0 OR (pieces = 0 AND worth <> 0)
      UNION ALL SELECT 'movement ' || id || ' says nothing of its value' FROM Movement WHERE valueMinor IS NULL
      UNION ALL SELECT 'movement ' || id || ' (' || kind || ') changes the value by ' || valueMinor FROM Movement
      WHERE kind IN ('transfer-in', 'transfer-out') AND valueMinor <> 0`,
  },
  {
    name: 'batches are the sum of their movements',
    table: 'BatchBalance',
    sql: `
      WITH summed AS (SELECT batchId, binId, SUM(quantity) AS total FROM Movement WHERE batchId IS NOT NULL GROUP BY batchId, binId)
      SELECT 'batch ' || s.batchId || ' in bin ' || s.binId || ': kept ' || COALESCE(b.quantity, 0) || ', sum ' || s.total AS fault
      FROM summed s LEFT JOIN BatchBalance b ON b.batchId = s.batchId AND b.binId = s.binId
      WHERE COALESCE(b.quantity, 0) <> s.total
      UNION ALL SELECT 'batch ' || b.batchId || ' in bin ' || b.binId || ': kept ' || b.quantity || ' without movements'
      FROM BatchBalance b LEFT JOIN summed s ON s.batchId = b.batchId AND s.binId = b.binId
      WHERE s.batchId IS NULL AND b.quantity <> 0`,
  },
  {
    name: 'batches add up to what lies in the bin',
    table: 'PartClassRule',
    sql: `
      WITH kept AS (SELECT x.partId, l.binId, SUM(l.quantity) AS pieces FROM BatchBalance l JOIN Batch x ON x.id = l.batchId
        GROUP BY x.partId, l.binId)
      SELECT 'part ' || k.partId || ' in bin ' || k.binId || ': ' || COALESCE(b.quantity, 0) || ' lie there, its batches add up to '
        || k.pieces AS fault
      FROM kept k LEFT JOIN Balance b ON b.partId = k.partId AND b.binId = k.binId WHERE k.pieces > COALESCE(b.quantity, 0)
      UNION ALL SELECT 'part ' || b.partId || ' in bin ' || b.binId || ': ' || b.quantity || ' lie there, its batches add up to '
        || COALESCE(k.pieces, 0)
      FROM Balance b JOIN Part p ON p.id = b.partId LEFT JOIN PartClassRule c ON c.partClass = p.partClass
        LEFT JOIN kept k ON k.partId = b.partId AND k.binId = b.binId
      WHERE (COALESCE(p.asksBatch, c.asksBatch, 0) = 1 OR COALESCE(p.asksUseBy, c.asksUseBy, 0) = 1)
        AND COALESCE(k.pieces, 0) < b.quantity`,
  },
  {
    name: 'deposits and old units add up',
    table: 'Deposit',
    sql: `
      WITH said AS (SELECT depositId, SUM(amountMinor) AS "left", SUM(CASE WHEN kind = 'owed' THEN amountMinor ELSE 0 END) AS charged
        FROM DepositEvent WHERE depositId IS NOT NULL GROUP BY depositId)
      SELECT 'deposit ' || d.id || ' says ' || d.owedMinor || ' owed, its lines leave ' || COALESCE(s."left", 0) AS fault
      FROM Deposit d LEFT JOIN said s ON s.depositId = d.id WHERE d.owedMinor <> COALESCE(s."left", 0) OR d.owedMinor < 0
      UNION ALL SELECT 'deposit ' || d.id || ' is of ' || d.amountMinor || ', its lines charge ' || COALESCE(s.charged, 0)
      FROM Deposit d LEFT JOIN said s ON s.depositId = d.id WHERE d.amountMinor <> COALESCE(s.charged, 0)
      UNION ALL SELECT 'deposit ' || d.id || ' names movement ' || d.movementId || ', which is no receipt of its part'
      FROM Deposit d LEFT JOIN Movement m ON m.id = d.movementId
      WHERE d.movementId IS NOT NULL AND (m.id IS NULL OR m.kind <> 'receive' OR m.partId <> d.partId)
      UNION ALL SELECT 'movement ' || m.id || ' received ' || m.quantity || ', deposits were opened for ' || COUNT(*)
      FROM Deposit d JOIN Movement m ON m.id = d.movementId GROUP BY m.id HAVING COUNT(*) <> m.quantity
      UNION ALL SELECT 'old unit ' || u.id || ' (' || u.state || ') lies ' || COALESCE('in a bin for ' || b.kind, 'in no bin')
      FROM OldUnit u LEFT JOIN Bin b ON b.id = u.binId
      WHERE (u.state = 'kept') <> (COALESCE(b.kind, '') = 'old-units') OR (u.state <> 'kept' AND u.binId IS NOT NULL)`,
  },
  {
    name: 'invoices stand as their lines say',
    table: 'InvoiceDifference',
    sql: `
      WITH stands AS (SELECT i.id, i.number, i.state, CASE WHEN SUM(COALESCE(d.state, '') = 'open') > 0 THEN 'open'
          WHEN SUM(COALESCE(d.state, '') = 'disputed') > 0 THEN 'disputed' ELSE 'agreed' END AS follows
        FROM Invoice i LEFT JOIN InvoiceDifference d ON d.invoiceId = i.id WHERE i.state <> 'withdrawn' GROUP BY i.id)
      SELECT 'invoice ' || id || ' (' || number || ') is called ' || state || ', its differences say ' || follows AS fault
      FROM stands WHERE state <> follows
      UNION ALL SELECT 'invoice ' || i.id || ' (' || i.number || ') names order line ' || l.id || ', which is of another supplier'
      FROM Invoice i JOIN InvoiceLine n ON n.invoiceId = i.id JOIN PurchaseOrderLine l ON l.id = n.orderLineId
      JOIN PurchaseOrder o ON o.id = l.orderId WHERE o.supplierId <> i.supplierId
      UNION ALL SELECT 'invoice ' || i.id || ' (' || i.number || ') has no line' FROM Invoice i
      WHERE NOT EXISTS (SELECT 1 FROM InvoiceLine n WHERE n.invoiceId = i.id)
      UNION ALL SELECT 'invoice ' || i.id || ' (' || i.number || ') has order line ' || n.orderLineId || ' at ' || n.priceMinor
        || ' where ' || l.priceMinor || ' was agreed, and no difference says so'
      FROM Invoice i JOIN InvoiceLine n ON n.invoiceId = i.id JOIN PurchaseOrderLine l ON l.id = n.orderLineId
      WHERE i.state <> 'withdrawn' AND n.priceMinor <> l.priceMinor AND NOT EXISTS (SELECT 1 FROM InvoiceDifference d
        WHERE d.invoiceId = i.id AND d.orderLineId = l.id AND d.kind = 'price' AND d.state <> 'gone')
      UNION ALL SELECT 'invoice ' || d.invoiceId || ' has difference ' || d.id || ' called ' || d.state || ', decided by nobody'
      FROM InvoiceDifference d WHERE d.state IN ('accepted', 'disputed') AND (d.decidedById IS NULL OR d.decidedAt IS NULL)`,
  },
  {
    name: 'credit notes give back what was owed',
    table: 'CreditLine',
    sql: `
      WITH given AS (SELECT l.differenceId AS id, SUM(l.amountMinor) AS minor FROM CreditLine l
        JOIN CreditNote n ON n.id = l.creditNoteId WHERE n.state = 'entered' GROUP BY l.differenceId)
      SELECT 'invoice ' || i.id || ' (' || i.number || ') has difference ' || d.id || ' called ' || d.state || ' of ' || d.amountMinor
        || ', credited are ' || COALESCE(g.minor, 0) AS fault
      FROM InvoiceDifference d JOIN Invoice i ON i.id = d.invoiceId LEFT JOIN given g ON g.id = d.id
      WHERE i.state <> 'withdrawn' AND (COALESCE(g.minor, 0) > MAX(d.amountMinor, 0)
        OR (d.state = 'credited') <> (COALESCE(g.minor, 0) > 0 AND COALESCE(g.minor, 0) = d.amountMinor))
      UNION ALL SELECT 'credit note ' || n.id || ' (' || n.number || ') names invoice ' || i.id || ', which is of another supplier'
      FROM CreditNote n JOIN CreditLine l ON l.creditNoteId = n.id JOIN Invoice i ON i.id = l.invoiceId WHERE i.supplierId <> n.supplierId
      UNION ALL SELECT 'credit note ' || n.id || ' (' || n.number || ') has a total of ' || n.totalMinor || ', its lines come to '
        || (n.taxMinor + COALESCE(SUM(l.amountMinor), 0))
      FROM CreditNote n LEFT JOIN CreditLine l ON l.creditNoteId = n.id GROUP BY n.id
      HAVING ABS(n.totalMinor - n.taxMinor - COALESCE(SUM(l.amountMinor), 0)) > MAX(1, COUNT(l.id))`,
  },
  {
    name: 'nothing is below zero',
    sql: `
      SELECT 'part ' || partId || ' in bin ' || binId || ' stands at ' || quantity AS fault FROM Balance WHERE quantity < 0
      UNION ALL SELECT 'movement ' || id || ' left ' || balanceAfter FROM Movement WHERE balanceAfter < 0
      UNION ALL SELECT 'job line ' || id || ' is below zero' FROM JobNeed WHERE taken < 0 OR allocated < 0 OR wanted < 0
      UNION ALL SELECT 'order line ' || id || ' has more received or cancelled than ordered' FROM PurchaseOrderLine
        WHERE received < 0 OR cancelled < 0 OR received + cancelled > quantity`,
  },
  {
    name: 'ledger follows',
    sql: `
      SELECT 'movement ' || id || ' says ' || balanceAfter || ', the running sum says ' || running AS fault FROM (
        SELECT id, balanceAfter, SUM(quantity) OVER (PARTITION BY partId, binId ORDER BY id ROWS UNBOUNDED PRECEDING) AS running
        FROM Movement)
      WHERE running <> balanceAfter OR running < 0
      UNION ALL SELECT 'movement ' || id || ' moves nothing' FROM Movement WHERE quantity = 0
      UNION ALL SELECT 'movement ' || id || ' (' || kind || ') moves ' || quantity FROM Movement
        WHERE kind NOT IN ('receive', 'issue', 'return', 'count-difference', 'transfer-out', 'transfer-in', 'scrap', 'reversal')
          OR (kind IN ('receive', 'return', 'transfer-in') AND quantity < 0)
          OR (kind IN ('issue', 'transfer-out', 'scrap') AND quantity > 0)`,
  },
  {
    name: 'a reversal undoes what it names',
    sql: `
      SELECT 'reversal ' || r.id || ' does not undo movement ' || COALESCE(r.reversesId, 'none') AS fault
      FROM Movement r LEFT JOIN Movement o ON o.id = r.reversesId
      WHERE (r.kind = 'reversal' OR r.reversesId IS NOT NULL)
        AND (o.id IS NULL OR r.kind <> 'reversal' OR o.id >= r.id OR o.partId <> r.partId OR o.binId <> r.binId OR o.quantity <> -r.quantity)
      UNION ALL
      SELECT 'movement ' || reversesId || ' is reversed ' || COUNT(*) || ' times' FROM Movement
      WHERE reversesId IS NOT NULL GROUP BY reversesId HAVING COUNT(*) > 1`,
  },
  {
    name: 'a transfer puts down what it took',
    sql: `
      SELECT 'transfer ' || writeKey || ' of part ' || partId || ': ' || SUM(quantity) || ' over' AS fault FROM Movement
      WHERE kind IN ('transfer-in', 'transfer-out') GROUP BY writeKey, partId HAVING SUM(quantity) <> 0 OR COUNT(*) % 2 = 1`,
  },
  {
    name: 'every movement belongs to one write',
    sql: `
      SELECT 'movement ' || m.id || ' has no write ' || m.writeKey AS fault
      FROM Movement m LEFT JOIN "Write" w ON w.key = m.writeKey WHERE w.key IS NULL
      UNION ALL
      SELECT 'write ' || writeKey || ' has line ' || writeLine || ' ' || COUNT(*) || ' times'
      FROM Movement GROUP BY writeKey, writeLine HAVING COUNT(*) > 1`,
  },
  {
    name: 'jobs have what the ledger says',
    sql: `
      SELECT 'job line ' || n.id || ' says ' || n.taken || ' taken, its movements ' || COALESCE(-SUM(m.quantity), 0) AS fault
      FROM JobNeed n LEFT JOIN Movement m ON m.needId = n.id GROUP BY n.id HAVING n.taken <> COALESCE(-SUM(m.quantity), 0)
      UNION ALL
      SELECT 'movement ' || m.id || ' names job line ' || m.needId || ', which is not there'
      FROM Movement m LEFT JOIN JobNeed n ON n.id = m.needId WHERE m.needId IS NOT NULL AND n.id IS NULL`,
  },
  {
    name: 'orders received what the ledger says',
    sql: `
      SELECT 'order line ' || l.id || ' says ' || l.received || ' received, its movements ' || COALESCE(SUM(m.quantity), 0) AS fault
      FROM PurchaseOrderLine l LEFT JOIN Movement m ON m.orderLineId = l.id
      GROUP BY l.id HAVING l.received <> COALESCE(SUM(m.quantity), 0)`,
  },
  {
    // UNION, not UNION ALL: the set of pairs is finite, so the walk ends in spite of a loop.
    name: 'replaced parts lead to an end',
    sql: `
      WITH RECURSIVE reach(start, at) AS (
        SELECT oldPartId, newPartId FROM Supersession
        UNION SELECT reach.start, s.newPartId FROM reach JOIN Supersession s ON s.oldPartId = reach.at)
      SELECT 'part ' || start || ' is replaced by itself in the end' AS fault FROM reach WHERE start = at ORDER BY start`,
  },
  {
    name: 'closed jobs stand in the service book',
    sql: `
      SELECT 'job ' || j.number || ' is ' || j.state || ' and has ' || CASE WHEN e.id IS NULL THEN 'no' ELSE 'an' END || ' entry' AS fault
      FROM Job j LEFT JOIN ServiceBookEntry e ON e.jobId = j.id WHERE (j.state = 'closed') <> (e.id IS NOT NULL)
      UNION ALL SELECT 'entry ' || e.id || ' is of another machine than job ' || j.number
      FROM ServiceBookEntry e JOIN Job j ON j.id = e.jobId WHERE e.machineId <> j.machineId`,
  },
  {
    name: 'part numbers are unique',
    sql: `
      SELECT 'part number ' || numberKey || ' of ' || makerKey || ' is there ' || COUNT(*) || ' times' AS fault
      FROM Part GROUP BY makerKey, numberKey HAVING COUNT(*) > 1`,
  },
]
