/**
 * How a log is opened and kept, the connection, its errors, the schema and its migrations. Entry:
 * {@link org.cellherd.store.sql.Database}.
 */
@NullMarked
package org.cellherd.store.sql;

import org.jspecify.annotations.NullMarked;
