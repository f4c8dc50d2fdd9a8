/** What a menu of a flow can hold: a page of foods, the dishes offered to her, a page of what mothers ask about. */
export const menuKinds = ['kitchen-1', 'kitchen-2', 'kitchen-3', 'kitchen-4', 'dishes', 'customs'] as const;
