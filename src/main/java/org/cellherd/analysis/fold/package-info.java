/** What every fold is: the contract, and the stored log it runs over. */
@NullMarked
package org.cellherd.analysis.fold;

import org.jspecify.annotations.NullMarked;
