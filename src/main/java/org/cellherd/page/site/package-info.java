/**
 * The page put together: what there is to ask for, and the HTML around it. Entry: {@link
 * org.cellherd.page.site.LocalPage}.
 */
@NullMarked
package org.cellherd.page.site;

import org.jspecify.annotations.NullMarked;
