package org.cellherd.alert;

import org.cellherd.pack.Worded;

/**
 * The states of every alert, whatever its rule.
 *
 * <pre>
 * NORMAL ─condition─► PENDING ─on-delay─► ACTIVE ◄──► CLEARING ─off-delay─► NORMAL
 *    ▲                   │ condition gone   │ ack        ▲  │                 or, critical and
 *    └───────────────────┘                  ▼            │  │                 not acknowledged:
 *                                      ACKNOWLEDGED ─────┘  └──────────────► RETURNED ─ack─► NORMAL
 *                                                             ACTIVE ◄─on-delay─┘
 * </pre>
 *
 * <p>A higher level makes ACKNOWLEDGED active again. An alert that becomes critical again while
 * RETURNED is the same alert; a milder level waits until it was seen. What comes back within two
 * hours of its end is the same alert too; from its second time on it stays CLEARING until it has
 * been gone for two hours.
 */
public enum AlertState implements Worded {
  /** Nothing to tell. */
  NORMAL,
  /** The condition holds, the on-delay runs. */
  PENDING,
  /** Told, and nobody has said that it was seen. */
  ACTIVE,
  /** Told and seen; repeats are silenced. */
  ACKNOWLEDGED,
  /** Back inside limit and deadband, the off-delay runs. */
  CLEARING,
  /** Over, but critical and unseen. */
  RETURNED;
}
