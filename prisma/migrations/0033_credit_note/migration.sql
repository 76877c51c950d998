-- CreateTable
CREATE TABLE "CreditNote" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "invoiceId" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "number" TEXT NOT NULL,
    "numberKey" TEXT NOT NULL,
    "day" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'entered',
    "taxThousandths" INTEGER NOT NULL,
    "taxMinor" INTEGER NOT NULL,
    "totalMinor" INTEGER NOT NULL,
    "enteredAt" DATETIME NOT NULL,
    "enteredById" TEXT NOT NULL,
    CONSTRAINT "CreditNote_invoiceId_fkey" FOREIGN KEY ("invoiceId") REFERENCES "Invoice" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "CreditNote_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "CreditLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "creditNoteId" INTEGER NOT NULL,
    "invoiceId" INTEGER NOT NULL,
    "differenceId" INTEGER,
    "orderLineId" INTEGER,
    "reason" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL DEFAULT 0,
    "amountMinor" INTEGER NOT NULL,
    CONSTRAINT "CreditLine_creditNoteId_fkey" FOREIGN KEY ("creditNoteId") REFERENCES "CreditNote" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "CreditLine_invoiceId_fkey" FOREIGN KEY ("invoiceId") REFERENCES "Invoice" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "CreditLine_differenceId_fkey" FOREIGN KEY ("differenceId") REFERENCES "InvoiceDifference" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "CreditLine_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "CreditNote_invoiceId_idx" ON "CreditNote"("invoiceId");

-- CreateIndex
CREATE UNIQUE INDEX "CreditNote_supplierId_numberKey_key" ON "CreditNote"("supplierId", "numberKey");

-- CreateIndex
CREATE INDEX "CreditLine_creditNoteId_idx" ON "CreditLine"("creditNoteId");

-- CreateIndex
CREATE INDEX "CreditLine_invoiceId_idx" ON "CreditLine"("invoiceId");

-- CreateIndex
CREATE INDEX "CreditLine_differenceId_idx" ON "CreditLine"("differenceId");

-- CreateIndex
CREATE INDEX "CreditLine_orderLineId_idx" ON "CreditLine"("orderLineId");

-- A credit note says what the supplier wrote: a wrong entry is withdrawn and entered anew, never changed or deleted.
CREATE TRIGGER IF NOT EXISTS credit_note_as_entered BEFORE UPDATE OF "invoiceId", "supplierId", "number", "day", "taxThousandths", "taxMinor", "totalMinor" ON "CreditNote" BEGIN
  SELECT RAISE(ABORT, 'credit/as-entered: what a credit note says is never changed');
END;

CREATE TRIGGER IF NOT EXISTS credit_note_never_deleted BEFORE DELETE ON "CreditNote" BEGIN
  SELECT RAISE(ABORT, 'credit/as-entered: a credit note is withdrawn, never deleted');
END;

CREATE TRIGGER IF NOT EXISTS credit_note_withdrawn_stays BEFORE UPDATE ON "CreditNote" WHEN OLD.state = 'withdrawn' BEGIN
  SELECT RAISE(ABORT, 'credit/as-entered: what was withdrawn stays withdrawn');
END;

CREATE TRIGGER IF NOT EXISTS credit_line_never_updated BEFORE UPDATE ON "CreditLine" BEGIN
  SELECT RAISE(ABORT, 'credit/as-entered: a line of a credit note is never changed');
END;

CREATE TRIGGER IF NOT EXISTS credit_line_never_deleted BEFORE DELETE ON "CreditLine" BEGIN
  SELECT RAISE(ABORT, 'credit/as-entered: a line of a credit note is never deleted');
END;
