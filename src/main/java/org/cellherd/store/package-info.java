/** The log in one SQLite file: readings, alerts, outbox, findings, snapshots, migrations. */
@NullMarked
package org.cellherd.store;

import org.jspecify.annotations.NullMarked;
