/** What a site and a centre say to each other: topics, parcels, what is held. */
@NullMarked
package org.cellherd.forward.wire;

import org.jspecify.annotations.NullMarked;
