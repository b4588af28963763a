package org.cellherd.app.campaign.books;

import org.cellherd.app.campaign.fault.CampaignFault;

/**
 * How long a fault lasted, by the true time.
 *
 * @param fromMs when it struck, ms UTC
 * @param toMs when it was taken back, ms UTC; {@link Long#MAX_VALUE} while it lasts
 */
public record Spell(CampaignFault fault, long fromMs, long toMs) {

  /** True when it lasted at some time from one to another. */
  public boolean touches(long from, long to) {
    return fromMs <= to && toMs >= from;
  }

  Spell until(long endMs) {
    return new Spell(fault, fromMs, endMs);
  }
}
