/**
 * State of charge as an interval: counted between anchors, narrowed by resting voltages where these
 * tell anything. Start at {@link org.cellherd.analysis.charge.SocFold}.
 */
@NullMarked
package org.cellherd.analysis.charge;

import org.jspecify.annotations.NullMarked;
