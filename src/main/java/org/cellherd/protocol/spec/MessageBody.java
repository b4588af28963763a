package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;

/** What the data of one message means. Immutable. */
public interface MessageBody {

  /** Length of the data as far as the first bytes tell; -1 while they do not. */
  int length(byte[] data, int available, RawValues told);

  /** True when data of this length may be this message. */
  boolean mayBe(int length);

  int least();

  int most();

  /** Reads data into a draft; a refusal when it does not fit the description. */
  Optional<Refusal> decode(byte[] data, int dataOffset, Draft draft);

  /** The data that tells a reading; several where one frame cannot hold it. */
  List<byte[]> encode(Reading reading);

  /** True when one frame may hold a part of the message, so that later frames add to it. */
  default boolean accumulates() {
    return false;
  }

  /** True when a further part goes with those that a draft has; else it begins anew. */
  default boolean goesOn(Draft before, Draft part) {
    return accumulates();
  }

  /** True when a draft holds all that this message must tell. */
  default boolean isComplete(Draft draft) {
    return true;
  }
}
