package org.cellherd.analysis.plausible;

import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Reading;

/** One way in which readings can be wrong. Constant memory; belongs to one thread. */
interface Check {

  /** Takes the latest reading, which the moment has taken already. */
  void accept(Moment moment, Reading reading);

  Optional<Suspicion> suspicion(Moment moment);

  void state(State io);
}
