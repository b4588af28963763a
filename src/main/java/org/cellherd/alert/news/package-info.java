/** What a site tells while it runs, beside its alerts, and whoever takes it. */
@NullMarked
package org.cellherd.alert.news;

import org.jspecify.annotations.NullMarked;
