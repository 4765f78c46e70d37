/** Names that the 3MF core specification fixes. */

/** Namespace of the core. */
export const CORE_3MF = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
/** Relationship type of the part that holds the model. */
export const MODEL_RELATION = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';
