/**
 * The page for the lid of a pack's crate: set-points, arrangement, tests, cautions, always one
 * page. Entry: {@link org.cellherd.report.lid.LidPage}; the picture of the arrangement alone is
 * {@link org.cellherd.report.lid.ArrangementPicture}.
 */
@NullMarked
package org.cellherd.report.lid;

import org.jspecify.annotations.NullMarked;
