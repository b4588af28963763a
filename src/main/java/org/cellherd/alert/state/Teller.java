package org.cellherd.alert.state;

import org.cellherd.alert.AlertEvent;

/** Takes what state machines have to tell. */
public interface Teller {

  /** True when a message below critical may go out now; critical ones never ask. */
  boolean hasRoom();

  void tell(AlertEvent event);
}
