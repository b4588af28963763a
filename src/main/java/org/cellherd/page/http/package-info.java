/** Who may ask for what: the door, bounded requests, answers with their headers. */
@NullMarked
package org.cellherd.page.http;

import org.jspecify.annotations.NullMarked;
