-- AlterTable
ALTER TABLE "PurchaseOrder" ADD COLUMN "carriageMinor" INTEGER;
ALTER TABLE "PurchaseOrder" ADD COLUMN "taxThousandths" INTEGER;

-- AlterTable
ALTER TABLE "Supplier" ADD COLUMN "taxThousandths" INTEGER;

-- CreateTable
CREATE TABLE "Invoice" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "orderId" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "number" TEXT NOT NULL,
    "numberKey" TEXT NOT NULL,
    "day" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "carriageMinor" INTEGER NOT NULL,
    "depositsMinor" INTEGER NOT NULL DEFAULT 0,
    "taxThousandths" INTEGER NOT NULL,
    "taxMinor" INTEGER NOT NULL,
    "totalMinor" INTEGER NOT NULL,
    "enteredAt" DATETIME NOT NULL,
    "enteredById" TEXT NOT NULL,
    CONSTRAINT "Invoice_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "PurchaseOrder" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Invoice_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "InvoiceLine" (
    "invoiceId" INTEGER NOT NULL,
    "orderLineId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "priceMinor" INTEGER NOT NULL,

    PRIMARY KEY ("invoiceId", "orderLineId"),
    CONSTRAINT "InvoiceLine_invoiceId_fkey" FOREIGN KEY ("invoiceId") REFERENCES "Invoice" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "InvoiceLine_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "InvoiceDifference" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "invoiceId" INTEGER NOT NULL,
    "orderLineId" INTEGER,
    "kind" TEXT NOT NULL,
    "says" TEXT NOT NULL,
    "amountMinor" INTEGER NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "reason" TEXT,
    "wasDisputed" BOOLEAN NOT NULL DEFAULT false,
    "decidedById" TEXT,
    "decidedAt" DATETIME,
    CONSTRAINT "InvoiceDifference_invoiceId_fkey" FOREIGN KEY ("invoiceId") REFERENCES "Invoice" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "InvoiceDifference_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "Invoice_orderId_idx" ON "Invoice"("orderId");

-- CreateIndex
CREATE INDEX "Invoice_state_idx" ON "Invoice"("state");

-- CreateIndex
CREATE UNIQUE INDEX "Invoice_supplierId_numberKey_key" ON "Invoice"("supplierId", "numberKey");

-- CreateIndex
CREATE INDEX "InvoiceLine_orderLineId_idx" ON "InvoiceLine"("orderLineId");

-- CreateIndex
CREATE INDEX "InvoiceDifference_invoiceId_idx" ON "InvoiceDifference"("invoiceId");

-- CreateIndex
CREATE INDEX "InvoiceDifference_orderLineId_idx" ON "InvoiceDifference"("orderLineId");

-- An invoice says what the supplier wrote: a wrong entry is withdrawn and entered anew, never changed or deleted.
CREATE TRIGGER IF NOT EXISTS invoice_as_entered BEFORE UPDATE OF "orderId", "supplierId", "number", "day", "carriageMinor", "depositsMinor", "taxThousandths", "taxMinor", "totalMinor" ON "Invoice" BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: what an invoice says is never changed');
END;

CREATE TRIGGER IF NOT EXISTS invoice_never_deleted BEFORE DELETE ON "Invoice" BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: an invoice is withdrawn, never deleted');
END;

CREATE TRIGGER IF NOT EXISTS invoice_withdrawn_stays BEFORE UPDATE ON "Invoice" WHEN OLD.state = 'withdrawn' BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: what was withdrawn stays withdrawn');
END;

CREATE TRIGGER IF NOT EXISTS invoice_line_never_updated BEFORE UPDATE ON "InvoiceLine" BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: a line of an invoice is never changed');
END;

CREATE TRIGGER IF NOT EXISTS invoice_line_never_deleted BEFORE DELETE ON "InvoiceLine" BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: a line of an invoice is never deleted');
END;

CREATE TRIGGER IF NOT EXISTS invoice_difference_never_deleted BEFORE DELETE ON "InvoiceDifference" BEGIN
  SELECT RAISE(ABORT, 'invoice/as-entered: a difference is settled, never deleted');
END;
