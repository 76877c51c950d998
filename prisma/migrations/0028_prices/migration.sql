-- AlterTable
ALTER TABLE "Offer" ADD COLUMN "withdrawnAt" DATETIME;

-- AlterTable
ALTER TABLE "PurchaseOrder" ADD COLUMN "currency" TEXT;
ALTER TABLE "PurchaseOrder" ADD COLUMN "rateMicro" INTEGER;

-- AlterTable
ALTER TABLE "PurchaseOrderLine" ADD COLUMN "amountMinor" INTEGER;

-- AlterTable
ALTER TABLE "Supplier" ADD COLUMN "currency" TEXT;
ALTER TABLE "Supplier" ADD COLUMN "discountHundredths" INTEGER NOT NULL DEFAULT 0;

-- CreateTable
CREATE TABLE "PriceList" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "supplierId" INTEGER NOT NULL,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "validFrom" TEXT NOT NULL,
    "validUntil" TEXT,
    "breakKind" TEXT NOT NULL DEFAULT 'all-units',
    "source" TEXT NOT NULL DEFAULT '',
    "enteredAt" DATETIME NOT NULL,
    "enteredById" TEXT NOT NULL,
    CONSTRAINT "PriceList_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ListPrice" (
    "listId" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "fromQuantity" INTEGER NOT NULL,
    "priceMinor" INTEGER NOT NULL,

    PRIMARY KEY ("listId", "partId", "fromQuantity"),
    CONSTRAINT "ListPrice_listId_fkey" FOREIGN KEY ("listId") REFERENCES "PriceList" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ListPrice_supplierId_partId_fkey" FOREIGN KEY ("supplierId", "partId") REFERENCES "Offer" ("supplierId", "partId") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "OfferChange" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "supplierId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "says" TEXT NOT NULL,
    CONSTRAINT "OfferChange_supplierId_partId_fkey" FOREIGN KEY ("supplierId", "partId") REFERENCES "Offer" ("supplierId", "partId") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "CurrencyRate" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "currency" TEXT NOT NULL,
    "rateMicro" INTEGER NOT NULL,
    "day" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    "setById" TEXT NOT NULL
);

-- CreateIndex
CREATE UNIQUE INDEX "PriceList_supplierId_nameKey_key" ON "PriceList"("supplierId", "nameKey");

-- CreateIndex
CREATE INDEX "ListPrice_partId_supplierId_idx" ON "ListPrice"("partId", "supplierId");

-- CreateIndex
CREATE INDEX "OfferChange_partId_supplierId_idx" ON "OfferChange"("partId", "supplierId");

-- CreateIndex
CREATE INDEX "CurrencyRate_currency_day_idx" ON "CurrencyRate"("currency", "day");
