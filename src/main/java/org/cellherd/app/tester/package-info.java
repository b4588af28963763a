/**
 * Discharges that any tester wrote as CSV, its columns named by the user. Start at {@link
 * org.cellherd.app.tester.TesterCsv}.
 */
@NullMarked
package org.cellherd.app.tester;

import org.jspecify.annotations.NullMarked;
