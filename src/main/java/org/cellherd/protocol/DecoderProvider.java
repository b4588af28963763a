package org.cellherd.protocol;

import java.util.List;

/** The service through which decoders written as code are found. */
public interface DecoderProvider {
  List<Decoder> decoders();
}
