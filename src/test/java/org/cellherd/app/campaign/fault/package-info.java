/** The catalogue of what goes wrong, by families; each kind draws its own numbers. */
@NullMarked
package org.cellherd.app.campaign.fault;

import org.jspecify.annotations.NullMarked;
