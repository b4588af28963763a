/**
 * What a campaign is judged by: what the boards really sent, what the log holds, what alerts say.
 */
@NullMarked
package org.cellherd.app.campaign.books;

import org.jspecify.annotations.NullMarked;
